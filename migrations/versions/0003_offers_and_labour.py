"""Create suppliers, offers, labour and taxes."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")


def upgrade() -> None:
    op.create_table(
        "labour_time",
        sa.Column("scope", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.Column("hours_thousandths", WHOLE, nullable=False),
        sa.Column("origin", TEXT, nullable=False),
        sa.CheckConstraint(
            "scope IN ('access', 'strip', 'position')", name=op.f("ck_labour_time_scope_known")
        ),
        sa.CheckConstraint(
            "hours_thousandths BETWEEN 0 AND 100000", name=op.f("ck_labour_time_hours_plausible")
        ),
        sa.PrimaryKeyConstraint("scope", "code", name=op.f("pk_labour_time")),
        sqlite_strict=True,
    )
    op.create_table(
        "shop_terms",
        sa.Column("currency", TEXT, nullable=False),
        sa.Column("rate_per_hour_minor", WHOLE, nullable=False),
        sa.Column("consumables_minor", WHOLE, nullable=False),
        sa.Column("tax_parts_millionths", WHOLE, nullable=False),
        sa.Column("tax_labour_millionths", WHOLE, nullable=False),
        sa.Column("tax_deposit_millionths", WHOLE, nullable=False),
        sa.Column("tax_included", WHOLE, nullable=False),
        sa.Column("origin", TEXT, nullable=False),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_shop_terms_currency_is_code")),
        sa.CheckConstraint(
            "rate_per_hour_minor >= 0 AND consumables_minor >= 0",
            name=op.f("ck_shop_terms_amounts_not_negative"),
        ),
        sa.CheckConstraint(
            "tax_deposit_millionths BETWEEN 0 AND 1000000", name=op.f("ck_shop_terms_deposit_tax_is_rate")
        ),
        sa.CheckConstraint("tax_included IN (0, 1)", name=op.f("ck_shop_terms_included_is_flag")),
        sa.CheckConstraint(
            "tax_labour_millionths BETWEEN 0 AND 1000000", name=op.f("ck_shop_terms_labour_tax_is_rate")
        ),
        sa.CheckConstraint(
            "tax_parts_millionths BETWEEN 0 AND 1000000", name=op.f("ck_shop_terms_parts_tax_is_rate")
        ),
        sa.PrimaryKeyConstraint("currency", name=op.f("pk_shop_terms")),
        sqlite_strict=True,
    )
    op.create_table(
        "supplier",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("place", TEXT, nullable=False),
        sa.Column("currency", TEXT, nullable=False),
        sa.Column("shipping_minor", WHOLE, nullable=False),
        sa.Column("free_shipping_from_minor", WHOLE, nullable=True),
        sa.Column("withdrawn_on", TEXT, nullable=True),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_supplier_currency_is_code")),
        sa.CheckConstraint(
            "shipping_minor >= 0 AND free_shipping_from_minor >= 0",
            name=op.f("ck_supplier_shipping_not_negative"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supplier")),
        sa.UniqueConstraint("code", name=op.f("uq_supplier_code")),
        sqlite_strict=True,
    )
    op.create_table(
        "offer",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("supplier_id", TEXT, nullable=False),
        sa.Column("number", TEXT, nullable=False),
        sa.Column("part_id", TEXT, nullable=True),
        sa.Column("starter_id", TEXT, nullable=True),
        sa.Column("condition", TEXT, nullable=False),
        sa.Column("price_minor", WHOLE, nullable=False),
        sa.Column("currency", TEXT, nullable=False),
        sa.Column("pack_size", WHOLE, nullable=False),
        sa.Column("minimum_quantity", WHOLE, nullable=False),
        sa.Column("core_deposit_minor", WHOLE, nullable=False),
        sa.Column("warranty_months", WHOLE, nullable=False),
        sa.Column("lead_time_days", WHOLE, nullable=False),
        sa.Column("stock", WHOLE, nullable=True),
        sa.Column("valid_from", TEXT, nullable=False),
        sa.Column("valid_until", TEXT, nullable=True),
        sa.Column("withdrawn_on", TEXT, nullable=True),
        sa.CheckConstraint(
            "condition IN ('new', 'remanufactured', 'used')", name=op.f("ck_offer_condition_known")
        ),
        sa.CheckConstraint(
            "length(valid_from) = 10 AND valid_from LIKE '____-__-__'",
            name=op.f("ck_offer_valid_from_is_day"),
        ),
        sa.CheckConstraint(
            "length(valid_until) = 10 AND valid_until LIKE '____-__-__'",
            name=op.f("ck_offer_valid_until_is_day"),
        ),
        sa.CheckConstraint("(part_id IS NULL) <> (starter_id IS NULL)", name=op.f("ck_offer_for_one_thing")),
        sa.CheckConstraint(
            "pack_size BETWEEN 1 AND 10000 AND minimum_quantity BETWEEN 1 AND 100000",
            name=op.f("ck_offer_pack_plausible"),
        ),
        sa.CheckConstraint(
            "price_minor > 0 AND core_deposit_minor >= 0", name=op.f("ck_offer_price_positive")
        ),
        sa.CheckConstraint("stock >= 0", name=op.f("ck_offer_stock_not_negative")),
        sa.CheckConstraint("valid_until > valid_from", name=op.f("ck_offer_validity_ordered")),
        sa.CheckConstraint(
            "warranty_months BETWEEN 0 AND 240 AND lead_time_days BETWEEN 0 AND 730",
            name=op.f("ck_offer_terms_plausible"),
        ),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_offer_part_id")),
        sa.ForeignKeyConstraint(["starter_id"], ["starter.id"], name=op.f("fk_offer_starter_id")),
        sa.ForeignKeyConstraint(["supplier_id"], ["supplier.id"], name=op.f("fk_offer_supplier_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_offer")),
        sa.UniqueConstraint("supplier_id", "number", name=op.f("uq_offer_supplier_id_number")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("offer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_offer_part_id"), ["part_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_offer_starter_id"), ["starter_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("offer", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_offer_starter_id"))
        batch_op.drop_index(batch_op.f("ix_offer_part_id"))
    op.drop_table("offer")
    op.drop_table("supplier")
    op.drop_table("shop_terms")
    op.drop_table("labour_time")
