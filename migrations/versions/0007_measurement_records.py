"""Create measurement records and what was learned of them; let a size's value say how well it is known."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")
REAL = sa.Double().with_variant(sa.REAL(), "sqlite")

SUBJECTS = ("size_id", "part_id", "position_id")


def is_day(table: str, column: str) -> sa.CheckConstraint:
    rule = f"length({column}) = 10 AND {column} LIKE '____-__-__'"
    return sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{column}_is_day"))


def check(table: str, name: str, rule: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}"))


def refers(table: str, column: str, target: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [target], name=op.f(f"fk_{table}_{column}"))


def upgrade() -> None:
    # Column by column: a table that is rebuilt would lose its children's rows or its STRICTness.
    whole = "INTEGER" if op.get_bind().dialect.name == "sqlite" else "BIGINT"
    op.execute(
        f"ALTER TABLE size_value ADD COLUMN knowledge_uncertainty_nm {whole} "
        "CONSTRAINT ck_size_value_knowledge_uncertainty_not_negative CHECK (knowledge_uncertainty_nm >= 0)"
    )
    record = "measurement_record"
    op.create_table(
        record,
        sa.Column("id", TEXT, nullable=False),
        sa.Column("size_id", TEXT, nullable=True),
        sa.Column("part_id", TEXT, nullable=True),
        sa.Column("position_id", TEXT, nullable=True),
        sa.Column("specimen", TEXT, nullable=False),
        sa.Column("measured_on", TEXT, nullable=False),
        sa.Column("withdrawn_on", TEXT, nullable=True),
        check(record, "belongs_to_one", "(size_id IS NULL) <> (position_id IS NULL)"),
        check(record, "seats_are_no_parts", "part_id IS NULL OR size_id IS NOT NULL"),
        check(record, "specimen_not_empty", "length(specimen) > 0"),
        is_day(record, "measured_on"),
        is_day(record, "withdrawn_on"),
        *(refers(record, column, f"{column.removesuffix('_id')}.id") for column in SUBJECTS),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement_record")),
        sqlite_strict=True,
    )
    for column in SUBJECTS:
        op.create_index(op.f(f"ix_measurement_record_{column}"), record, [column])
    _create_readings()
    learned = "learned_value"
    op.create_table(
        learned,
        sa.Column("id", TEXT, nullable=False),
        sa.Column("size_id", TEXT, nullable=True),
        sa.Column("position_id", TEXT, nullable=True),
        sa.Column("feature", TEXT, nullable=False),
        sa.Column("record_id", TEXT, nullable=False),
        sa.Column("learned_at", TEXT, nullable=False),
        sa.Column("former", TEXT, nullable=True),
        sa.Column("former_provenance", TEXT, nullable=True),
        sa.Column("former_uncertainty_nm", WHOLE, nullable=True),
        sa.Column("adopted", TEXT, nullable=True),
        sa.Column("adopted_provenance", TEXT, nullable=True),
        sa.Column("adopted_uncertainty_nm", WHOLE, nullable=True),
        check(learned, "belongs_to_one", "(size_id IS NULL) <> (position_id IS NULL)"),
        check(learned, "former_is_whole", "(former IS NULL) = (former_provenance IS NULL)"),
        check(learned, "adopted_is_whole", "(adopted IS NULL) = (adopted_provenance IS NULL)"),
        check(
            learned,
            "uncertainties_not_negative",
            "former_uncertainty_nm >= 0 AND adopted_uncertainty_nm >= 0",
        ),
        check(
            learned,
            "learned_at_is_moment",
            "length(learned_at) = 20 AND learned_at LIKE '____-__-__T__:__:__Z'",
        ),
        refers(learned, "size_id", "size.id"),
        refers(learned, "position_id", "position.id"),
        refers(learned, "record_id", "measurement_record.id"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_learned_value")),
        sqlite_strict=True,
    )
    for column in ("size_id", "position_id", "record_id"):
        op.create_index(op.f(f"ix_learned_value_{column}"), learned, [column])


def _create_readings() -> None:
    reading, value = "measurement_reading", "measured_value"
    op.create_table(
        reading,
        sa.Column("record_id", TEXT, nullable=False),
        sa.Column("feature", TEXT, nullable=False),
        sa.Column("sequence", WHOLE, nullable=False),
        sa.Column("applies", WHOLE, nullable=False),
        sa.Column("instrument", TEXT, nullable=True),
        sa.Column("instrument_nm", REAL, nullable=True),
        sa.Column("step_nm", REAL, nullable=True),
        sa.Column("stated_uncertainty", TEXT, nullable=True),
        sa.Column("surface", TEXT, nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("count_value", WHOLE, nullable=True),
        sa.Column("choice_value", TEXT, nullable=True),
        check(reading, "surface_known", "surface IN ('worn', 'unworn')"),
        check(reading, "state_known", "state IN ('free', 'installed')"),
        check(reading, "applies_is_flag", "applies IN (0, 1)"),
        check(reading, "length_is_whole", "(instrument IS NULL) = (instrument_nm IS NULL)"),
        check(reading, "step_is_known", "(instrument_nm IS NULL) = (step_nm IS NULL)"),
        check(reading, "uncertainty_positive", "instrument_nm > 0 AND step_nm >= 0"),
        check(reading, "count_is_plausible", "count_value >= 0 AND count_value <= 999"),
        check(
            reading,
            "says_one_thing",
            "(CASE WHEN instrument IS NULL THEN 0 ELSE 1 END) + "
            "(CASE WHEN count_value IS NULL THEN 0 ELSE 1 END) + "
            "(CASE WHEN choice_value IS NULL THEN 0 ELSE 1 END) = applies",
        ),
        refers(reading, "record_id", "measurement_record.id"),
        sa.PrimaryKeyConstraint("record_id", "feature", name=op.f("pk_measurement_reading")),
        sqlite_strict=True,
    )
    op.create_table(
        value,
        sa.Column("record_id", TEXT, nullable=False),
        sa.Column("feature", TEXT, nullable=False),
        sa.Column("sequence", WHOLE, nullable=False),
        sa.Column("written", TEXT, nullable=False),
        sa.Column("length_nm", WHOLE, nullable=False),
        check(value, "length_positive", "length_nm > 0"),
        sa.ForeignKeyConstraint(
            ["record_id", "feature"],
            ["measurement_reading.record_id", "measurement_reading.feature"],
            name=op.f("fk_measured_value_record_id_feature"),
        ),
        sa.PrimaryKeyConstraint("record_id", "feature", "sequence", name=op.f("pk_measured_value")),
        sqlite_strict=True,
    )


def downgrade() -> None:
    for column in ("size_id", "position_id", "record_id"):
        op.drop_index(op.f(f"ix_learned_value_{column}"), "learned_value")
    op.drop_table("learned_value")
    op.drop_table("measured_value")
    op.drop_table("measurement_reading")
    for column in SUBJECTS:
        op.drop_index(op.f(f"ix_measurement_record_{column}"), "measurement_record")
    op.drop_table("measurement_record")
    op.execute("ALTER TABLE size_value DROP COLUMN knowledge_uncertainty_nm")
