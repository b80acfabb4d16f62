"""Create families, starters and numbers."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")


def upgrade() -> None:
    op.create_table(
        "family",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("construction", TEXT, nullable=False),
        sa.Column("voltage", WHOLE, nullable=False),
        sa.Column("rated_power_w", WHOLE, nullable=False),
        sa.Column("rotation", TEXT, nullable=False),
        sa.Column("field", TEXT, nullable=False),
        sa.Column("pole_count", WHOLE, nullable=False),
        sa.Column("brush_count", WHOLE, nullable=False),
        sa.Column("internal_reduction_thousandths", WHOLE, nullable=False),
        sa.Column("pinion_teeth", WHOLE, nullable=False),
        sa.Column("pinion_diametral_pitch", WHOLE, nullable=True),
        sa.Column("pinion_module_nm", WHOLE, nullable=True),
        sa.Column("pressure_angle_millidegrees", WHOLE, nullable=False),
        sa.Column("profile_shift_thousandths", WHOLE, nullable=False),
        sa.Column("pilot_diameter_nm", WHOLE, nullable=False),
        sa.Column("mounting_holes", WHOLE, nullable=False),
        sa.Column("access_class", TEXT, nullable=False),
        sa.Column("notes", TEXT, nullable=False),
        sa.Column("withdrawn_on", TEXT, nullable=True),
        sa.CheckConstraint(
            "access_class IN ('easy', 'moderate', 'hard')", name=op.f("ck_family_access_class_known")
        ),
        sa.CheckConstraint(
            "construction IN ('direct_drive', 'offset_gear_reduction', 'planetary_gear_reduction', 'movable_pole_shoe', 'inertia_drive')",
            name=op.f("ck_family_construction_known"),
        ),
        sa.CheckConstraint("field IN ('wound', 'permanent_magnet')", name=op.f("ck_family_field_known")),
        sa.CheckConstraint(
            "rotation IN ('clockwise', 'counter_clockwise')", name=op.f("ck_family_rotation_known")
        ),
        sa.CheckConstraint(
            "(pinion_diametral_pitch IS NULL) <> (pinion_module_nm IS NULL)", name=op.f("ck_family_one_pitch")
        ),
        sa.CheckConstraint(
            "internal_reduction_thousandths BETWEEN 1000 AND 10000",
            name=op.f("ck_family_reduction_plausible"),
        ),
        sa.CheckConstraint(
            "pilot_diameter_nm > 0 AND mounting_holes BETWEEN 1 AND 6", name=op.f("ck_family_pilot_positive")
        ),
        sa.CheckConstraint(
            "pinion_diametral_pitch > 0 AND pinion_module_nm > 0", name=op.f("ck_family_pitch_positive")
        ),
        sa.CheckConstraint("pinion_teeth BETWEEN 6 AND 20", name=op.f("ck_family_teeth_plausible")),
        sa.CheckConstraint(
            "pole_count BETWEEN 2 AND 12 AND brush_count BETWEEN 2 AND 12",
            name=op.f("ck_family_poles_plausible"),
        ),
        sa.CheckConstraint(
            "pressure_angle_millidegrees BETWEEN 10000 AND 30000", name=op.f("ck_family_angle_plausible")
        ),
        sa.CheckConstraint("rated_power_w > 0", name=op.f("ck_family_power_positive")),
        sa.CheckConstraint("voltage IN (6, 12, 24)", name=op.f("ck_family_voltage_known")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_family")),
        sa.UniqueConstraint("code", name=op.f("uq_family_code")),
        sqlite_strict=True,
    )
    op.create_table(
        "position",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("family_id", TEXT, nullable=False),
        sa.Column("code", TEXT, nullable=False),
        sa.Column("kind_code", TEXT, nullable=True),
        sa.Column("quantity", WHOLE, nullable=False),
        sa.Column("sequence", WHOLE, nullable=False),
        sa.CheckConstraint(
            "code IN ('battery_side_contact', 'motor_side_contact', 'contact_disc', 'drive_end_bushing', 'commutator_end_bushing', 'intermediate_bushing', 'drive_end_bearing', 'commutator_end_bearing', 'brush_set', 'drive_clutch', 'plunger', 'return_spring', 'planet_gears')",
            name=op.f("ck_position_code_known"),
        ),
        sa.CheckConstraint("quantity BETWEEN 1 AND 24", name=op.f("ck_position_quantity_plausible")),
        sa.ForeignKeyConstraint(["family_id"], ["family.id"], name=op.f("fk_position_family_id")),
        sa.ForeignKeyConstraint(["kind_code"], ["kind.code"], name=op.f("fk_position_kind_code")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_position")),
        sa.UniqueConstraint("family_id", "code", name=op.f("uq_position_family_id_code")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("position", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_position_kind_code"), ["kind_code"], unique=False)
    op.create_table(
        "starter",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("family_id", TEXT, nullable=False),
        sa.Column("maker_code", TEXT, nullable=False),
        sa.Column("number", TEXT, nullable=False),
        sa.Column("description", TEXT, nullable=False),
        sa.Column("withdrawn_on", TEXT, nullable=True),
        sa.CheckConstraint("length(number) > 0", name=op.f("ck_starter_number_not_empty")),
        sa.ForeignKeyConstraint(["family_id"], ["family.id"], name=op.f("fk_starter_family_id")),
        sa.ForeignKeyConstraint(["maker_code"], ["maker.code"], name=op.f("fk_starter_maker_code")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_starter")),
        sa.UniqueConstraint("maker_code", "number", name=op.f("uq_starter_maker_code_number")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("starter", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_starter_family_id"), ["family_id"], unique=False)
    op.create_table(
        "seat_feature",
        sa.Column("position_id", TEXT, nullable=False),
        sa.Column("feature", TEXT, nullable=False),
        sa.Column("lower_nm", WHOLE, nullable=True),
        sa.Column("upper_nm", WHOLE, nullable=True),
        sa.Column("count_value", WHOLE, nullable=True),
        sa.Column("text_value", TEXT, nullable=True),
        sa.CheckConstraint(
            "(CASE WHEN lower_nm IS NULL THEN 0 ELSE 1 END) + (CASE WHEN count_value IS NULL THEN 0 ELSE 1 END) + (CASE WHEN text_value IS NULL THEN 0 ELSE 1 END) = 1",
            name=op.f("ck_seat_feature_says_one_thing"),
        ),
        sa.CheckConstraint(
            "(lower_nm IS NULL) = (upper_nm IS NULL)", name=op.f("ck_seat_feature_range_is_whole")
        ),
        sa.CheckConstraint(
            "lower_nm > 0 AND lower_nm <= upper_nm", name=op.f("ck_seat_feature_range_is_ordered")
        ),
        sa.ForeignKeyConstraint(["position_id"], ["position.id"], name=op.f("fk_seat_feature_position_id")),
        sa.PrimaryKeyConstraint("position_id", "feature", name=op.f("pk_seat_feature")),
        sqlite_strict=True,
    )
    op.create_table(
        "listing",
        sa.Column("position_id", TEXT, nullable=False),
        sa.Column("part_id", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_listing_part_id")),
        sa.ForeignKeyConstraint(["position_id"], ["position.id"], name=op.f("fk_listing_position_id")),
        sa.PrimaryKeyConstraint("position_id", "part_id", name=op.f("pk_listing")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("listing", schema=None) as batch_op:
        batch_op.create_index("ix_listing_part_id", ["part_id"], unique=False)
    op.create_table(
        "number",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("part_id", TEXT, nullable=True),
        sa.Column("starter_id", TEXT, nullable=True),
        sa.Column("scheme", TEXT, nullable=False),
        sa.Column("issuer", TEXT, nullable=True),
        sa.Column("written", TEXT, nullable=False),
        sa.Column("normalised", TEXT, nullable=False),
        sa.CheckConstraint(
            "scheme IN ('maker', 'original_equipment', 'aftermarket', 'gtin')",
            name=op.f("ck_number_scheme_known"),
        ),
        sa.CheckConstraint(
            "(part_id IS NULL) <> (starter_id IS NULL)", name=op.f("ck_number_belongs_to_one")
        ),
        sa.CheckConstraint("length(normalised) > 0", name=op.f("ck_number_normalised_not_empty")),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_number_part_id")),
        sa.ForeignKeyConstraint(["starter_id"], ["starter.id"], name=op.f("fk_number_starter_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_number")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("number", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_number_normalised"), ["normalised"], unique=False)
        batch_op.create_index(batch_op.f("ix_number_part_id"), ["part_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_number_starter_id"), ["starter_id"], unique=False)
    op.create_table(
        "supersession",
        sa.Column("old_number_id", TEXT, nullable=False),
        sa.Column("new_number_id", TEXT, nullable=False),
        sa.Column("superseded_on", TEXT, nullable=False),
        sa.CheckConstraint(
            "length(superseded_on) = 10 AND superseded_on LIKE '____-__-__'",
            name=op.f("ck_supersession_superseded_on_is_day"),
        ),
        sa.CheckConstraint("old_number_id <> new_number_id", name=op.f("ck_supersession_not_by_itself")),
        sa.ForeignKeyConstraint(["new_number_id"], ["number.id"], name=op.f("fk_supersession_new_number_id")),
        sa.ForeignKeyConstraint(["old_number_id"], ["number.id"], name=op.f("fk_supersession_old_number_id")),
        sa.PrimaryKeyConstraint("old_number_id", name=op.f("pk_supersession")),
        sqlite_strict=True,
    )
    with op.batch_alter_table("supersession", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_supersession_new_number_id"), ["new_number_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("supersession", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_supersession_new_number_id"))
    op.drop_table("supersession")
    with op.batch_alter_table("number", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_number_starter_id"))
        batch_op.drop_index(batch_op.f("ix_number_part_id"))
        batch_op.drop_index(batch_op.f("ix_number_normalised"))
    op.drop_table("number")
    with op.batch_alter_table("listing", schema=None) as batch_op:
        batch_op.drop_index("ix_listing_part_id")
    op.drop_table("listing")
    op.drop_table("seat_feature")
    with op.batch_alter_table("starter", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_starter_family_id"))
    op.drop_table("starter")
    with op.batch_alter_table("position", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_position_kind_code"))
    op.drop_table("position")
    op.drop_table("family")
