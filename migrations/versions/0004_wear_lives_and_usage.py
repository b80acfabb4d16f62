"""Create wear lives and usual figures of use."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")


def upgrade() -> None:
    op.create_table(
        "wear_life",
        sa.Column("scope", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.Column("shape_thousandths", WHOLE, nullable=False),
        sa.Column("scale_starts", WHOLE, nullable=False),
        sa.Column("origin", TEXT, nullable=False),
        sa.CheckConstraint(
            "scope IN ('position', 'remainder', 'replacement')", name=op.f("ck_wear_life_scope_known")
        ),
        sa.CheckConstraint(
            "shape_thousandths BETWEEN 500 AND 10000", name=op.f("ck_wear_life_shape_in_bounds")
        ),
        sa.CheckConstraint(
            "scale_starts BETWEEN 1 AND 1000000000", name=op.f("ck_wear_life_scale_plausible")
        ),
        sa.PrimaryKeyConstraint("scope", "code", name=op.f("pk_wear_life")),
        sqlite_strict=True,
    )
    op.create_table(
        "usage_figure",
        sa.Column("code", TEXT, nullable=False),
        sa.Column("currency", TEXT, nullable=False),
        sa.Column("value_millionths", WHOLE, nullable=False),
        sa.Column("origin", TEXT, nullable=False),
        sa.CheckConstraint(
            "code IN ('starts_per_month', 'discount_rate_per_year', 'incident_cost')",
            name=op.f("ck_usage_figure_code_known"),
        ),
        sa.CheckConstraint(
            "(code = 'incident_cost') = (length(currency) = 3)",
            name=op.f("ck_usage_figure_money_has_currency"),
        ),
        sa.CheckConstraint("length(currency) IN (0, 3)", name=op.f("ck_usage_figure_currency_is_code")),
        sa.CheckConstraint("value_millionths >= 0", name=op.f("ck_usage_figure_value_not_negative")),
        sa.PrimaryKeyConstraint("code", "currency", name=op.f("pk_usage_figure")),
        sqlite_strict=True,
    )


def downgrade() -> None:
    op.drop_table("usage_figure")
    op.drop_table("wear_life")
