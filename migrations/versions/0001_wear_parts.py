"""Create the kinds, sizes and wear parts."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")
REAL = sa.Double().with_variant(sa.REAL(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "catalogue_state",
        sa.Column("id", WHOLE, autoincrement=False, nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_catalogue_state_single_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_catalogue_state")),
        sqlite_strict=True,
    )
    op.create_table(
        "kind",
        sa.Column("code", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("description", TEXT, nullable=False),
        sa.Column("model_version", TEXT, nullable=False),
        sa.Column("unlisted_prior", REAL, nullable=False),
        sa.Column("unlisted_prior_origin", TEXT, nullable=False),
        sa.CheckConstraint(
            "unlisted_prior > 0 AND unlisted_prior < 1", name=op.f("ck_kind_unlisted_prior_is_chance")
        ),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_kind")),
        sqlite_strict=True,
    )
    op.create_table(
        "maker",
        sa.Column("code", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_maker")),
        sqlite_strict=True,
    )
    op.create_table(
        "dimension",
        sa.Column("kind_code", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.Column("sequence", WHOLE, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("measure", TEXT, nullable=False),
        sa.Column("how", TEXT, nullable=False),
        sa.Column("place", TEXT, nullable=False),
        sa.Column("wear_sense", TEXT, nullable=False),
        sa.Column("wear_scale_nm", WHOLE, nullable=True),
        sa.Column("span_lower", WHOLE, nullable=True),
        sa.Column("span_upper", WHOLE, nullable=True),
        sa.Column("slip_chance", REAL, nullable=False),
        sa.Column("miscount_chance", REAL, nullable=False),
        sa.Column("two_point_over", TEXT, nullable=True),
        sa.Column("origin", TEXT, nullable=False),
        sa.CheckConstraint(
            "(span_lower IS NULL) = (span_upper IS NULL)", name=op.f("ck_dimension_span_is_whole")
        ),
        sa.CheckConstraint(
            "(span_lower IS NULL) = (measure = 'choice') AND span_lower < span_upper",
            name=op.f("ck_dimension_span_is_range"),
        ),
        sa.CheckConstraint(
            "(wear_scale_nm IS NOT NULL) = (wear_sense <> 'none')", name=op.f("ck_dimension_wear_has_scale")
        ),
        sa.CheckConstraint(
            "how IN ('outside', 'inside', 'depth', 'span', 'count', 'look')",
            name=op.f("ck_dimension_how_known"),
        ),
        sa.CheckConstraint(
            "measure IN ('length', 'count', 'choice')", name=op.f("ck_dimension_measure_known")
        ),
        sa.CheckConstraint(
            "wear_sense = 'none' OR measure = 'length'", name=op.f("ck_dimension_only_lengths_wear")
        ),
        sa.CheckConstraint(
            "wear_sense IN ('grows', 'shrinks', 'none')", name=op.f("ck_dimension_wear_sense_known")
        ),
        sa.CheckConstraint(
            "miscount_chance > 0 AND miscount_chance < 1", name=op.f("ck_dimension_miscount_is_chance")
        ),
        sa.CheckConstraint("slip_chance > 0 AND slip_chance < 1", name=op.f("ck_dimension_slip_is_chance")),
        sa.CheckConstraint("wear_scale_nm > 0", name=op.f("ck_dimension_wear_scale_positive")),
        sa.ForeignKeyConstraint(["kind_code"], ["kind.code"], name=op.f("fk_dimension_kind_code")),
        sa.PrimaryKeyConstraint("kind_code", "code", name=op.f("pk_dimension")),
        sqlite_strict=True,
    )
    op.create_table(
        "size",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("kind_code", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["kind_code"], ["kind.code"], name=op.f("fk_size_kind_code")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_size")),
        sa.UniqueConstraint("code", name=op.f("uq_size_code")),
        sa.UniqueConstraint("id", "kind_code", name=op.f("uq_size_id_kind_code")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("size", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_size_kind_code"), ["kind_code"], unique=False)
    op.create_table(
        "dimension_choice",
        sa.Column("kind_code", TEXT, nullable=False),
        sa.Column("dimension_code", TEXT, nullable=False),
        sa.Column("value", TEXT, nullable=False),
        sa.Column("label", TEXT, nullable=False),
        sa.Column("sequence", WHOLE, nullable=False),
        sa.ForeignKeyConstraint(
            ["kind_code", "dimension_code"],
            ["dimension.kind_code", "dimension.code"],
            name=op.f("fk_dimension_choice_kind_code_dimension_code"),
        ),
        sa.PrimaryKeyConstraint("kind_code", "dimension_code", "value", name=op.f("pk_dimension_choice")),
        sqlite_strict=True,
    )
    op.create_table(
        "part",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("kind_code", TEXT, nullable=False),
        sa.Column("size_id", TEXT, nullable=False),
        sa.Column("maker_code", TEXT, nullable=False),
        sa.Column("number", TEXT, nullable=False),
        sa.Column("description", TEXT, nullable=False),
        sa.Column("material", TEXT, nullable=True),
        sa.Column("grade", TEXT, nullable=True),
        sa.Column("voltage", WHOLE, nullable=True),
        sa.Column("provenance", TEXT, nullable=False),
        sa.Column("withdrawn_on", TEXT, nullable=True),
        sa.CheckConstraint(
            "provenance IN ('drawing', 'catalogue', 'measured')", name=op.f("ck_part_provenance_known")
        ),
        sa.CheckConstraint("length(number) > 0", name=op.f("ck_part_number_not_empty")),
        sa.CheckConstraint("voltage IN (6, 12, 24)", name=op.f("ck_part_voltage_known")),
        sa.ForeignKeyConstraint(["maker_code"], ["maker.code"], name=op.f("fk_part_maker_code")),
        sa.ForeignKeyConstraint(
            ["size_id", "kind_code"], ["size.id", "size.kind_code"], name=op.f("fk_part_size_id_kind_code")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
        sa.UniqueConstraint("maker_code", "number", name=op.f("uq_part_maker_code_number")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("part", schema=None) as batch_op:
        batch_op.create_index("ix_part_kind_code_id", ["kind_code", "id"], unique=False)
        batch_op.create_index("ix_part_size_id", ["size_id"], unique=False)
    op.create_table(
        "size_value",
        sa.Column("size_id", TEXT, nullable=False),
        sa.Column("dimension_code", TEXT, nullable=False),
        sa.Column("kind_code", TEXT, nullable=False),
        sa.Column("applies", WHOLE, nullable=False),
        sa.Column("lower_nm", WHOLE, nullable=True),
        sa.Column("upper_nm", WHOLE, nullable=True),
        sa.Column("count_value", WHOLE, nullable=True),
        sa.Column("choice_value", TEXT, nullable=True),
        sa.Column("provenance", TEXT, nullable=False),
        sa.CheckConstraint(
            "provenance IN ('drawing', 'catalogue', 'measured')", name=op.f("ck_size_value_provenance_known")
        ),
        sa.CheckConstraint(
            "(CASE WHEN lower_nm IS NULL THEN 0 ELSE 1 END) + (CASE WHEN count_value IS NULL THEN 0 ELSE 1 END) + (CASE WHEN choice_value IS NULL THEN 0 ELSE 1 END) = applies",
            name=op.f("ck_size_value_says_one_thing"),
        ),
        sa.CheckConstraint(
            "(lower_nm IS NULL) = (upper_nm IS NULL)", name=op.f("ck_size_value_range_is_whole")
        ),
        sa.CheckConstraint("applies IN (0, 1)", name=op.f("ck_size_value_applies_is_flag")),
        sa.CheckConstraint(
            "count_value >= 0 AND count_value <= 999", name=op.f("ck_size_value_count_is_plausible")
        ),
        sa.CheckConstraint(
            "lower_nm > 0 AND lower_nm <= upper_nm", name=op.f("ck_size_value_range_is_ordered")
        ),
        sa.ForeignKeyConstraint(
            ["kind_code", "dimension_code"],
            ["dimension.kind_code", "dimension.code"],
            name=op.f("fk_size_value_kind_code_dimension_code"),
        ),
        sa.ForeignKeyConstraint(
            ["size_id", "kind_code"],
            ["size.id", "size.kind_code"],
            name=op.f("fk_size_value_size_id_kind_code"),
        ),
        sa.PrimaryKeyConstraint("size_id", "dimension_code", name=op.f("pk_size_value")),
        sqlite_strict=True,
    )
    op.create_index(
        "ix_size_value_kind_code_dimension_code_lower_nm",
        "size_value",
        ["kind_code", "dimension_code", "lower_nm"],
    )


def downgrade() -> None:
    op.drop_index("ix_size_value_kind_code_dimension_code_lower_nm", table_name="size_value")
    op.drop_table("size_value")
    with op.batch_alter_table("part", schema=None) as batch_op:
        batch_op.drop_index("ix_part_size_id")
        batch_op.drop_index("ix_part_kind_code_id")
    op.drop_table("part")
    op.drop_table("dimension_choice")
    with op.batch_alter_table("size", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_size_kind_code"))
    op.drop_table("size")
    op.drop_table("dimension")
    op.drop_table("maker")
    op.drop_table("kind")
    op.drop_table("catalogue_state")
