"""Tables of families, positions, seats, starters and listings."""

from sqlalchemy import Index, UniqueConstraint
from sqlmodel import SQLModel

from api.columns import STRICT, check, day, one_of, reference, says_one_thing, text, whole
from api.wear_parts.tables import VOLTAGES

CONSTRUCTIONS = (
    "direct_drive",
    "offset_gear_reduction",
    "planetary_gear_reduction",
    "movable_pole_shoe",
    "inertia_drive",
)
FIELDS = ("wound", "permanent_magnet")
ROTATIONS = ("clockwise", "counter_clockwise")
ACCESS_CLASSES = ("easy", "moderate", "hard")
POSITIONS = (
    "battery_side_contact",
    "motor_side_contact",
    "contact_disc",
    "drive_end_bushing",
    "commutator_end_bushing",
    "intermediate_bushing",
    "drive_end_bearing",
    "commutator_end_bearing",
    "brush_set",
    "drive_clutch",
    "plunger",
    "return_spring",
    "planet_gears",
)


class Family(SQLModel, table=True):
    """Starters that share construction and therefore positions.

    Rotation is seen from the drive end. `internal_reduction_thousandths` is armature turns per pinion
    turn times 1,000. The pitch of the pinion is a diametral pitch (teeth per inch) or a module in nm.
    """

    __tablename__ = "family"
    __table_args__ = (
        one_of("construction", CONSTRUCTIONS),
        one_of("field", FIELDS),
        one_of("rotation", ROTATIONS),
        one_of("access_class", ACCESS_CLASSES),
        check("voltage_known", f"voltage IN {VOLTAGES}"),
        check("power_positive", "rated_power_w > 0"),
        check("poles_plausible", "pole_count BETWEEN 2 AND 12 AND brush_count BETWEEN 2 AND 12"),
        check("reduction_plausible", "internal_reduction_thousandths BETWEEN 1000 AND 10000"),
        check("teeth_plausible", "pinion_teeth BETWEEN 6 AND 20"),
        check("one_pitch", "(pinion_diametral_pitch IS NULL) <> (pinion_module_nm IS NULL)"),
        check("pitch_positive", "pinion_diametral_pitch > 0 AND pinion_module_nm > 0"),
        check("angle_plausible", "pressure_angle_millidegrees BETWEEN 10000 AND 30000"),
        check("pilot_positive", "pilot_diameter_nm > 0 AND mounting_holes BETWEEN 1 AND 6"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    code: str = text(unique=True)
    name: str = text()
    construction: str = text()
    voltage: int = whole()
    rated_power_w: int = whole()
    rotation: str = text()
    field: str = text()
    pole_count: int = whole()
    brush_count: int = whole()
    internal_reduction_thousandths: int = whole()
    pinion_teeth: int = whole()
    pinion_diametral_pitch: int | None = whole(optional=True)
    pinion_module_nm: int | None = whole(optional=True)
    pressure_angle_millidegrees: int = whole()
    profile_shift_thousandths: int = whole()
    pilot_diameter_nm: int = whole()
    mounting_holes: int = whole()
    access_class: str = text()
    notes: str = text()
    withdrawn_on: str | None = text(optional=True)


class Position(SQLModel, table=True):
    """A place in a family where a wear part sits; `kind_code` is absent where no kind covers it."""

    __tablename__ = "position"
    __table_args__ = (
        UniqueConstraint("family_id", "code"),
        one_of("code", POSITIONS),
        check("quantity_plausible", "quantity BETWEEN 1 AND 24"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    family_id: str = reference("family.id", index=False)
    code: str = text()
    kind_code: str | None = reference("kind.code", optional=True)
    quantity: int = whole()
    sequence: int = whole()
    withdrawn_on: str | None = text(optional=True)


class SeatFeature(SQLModel, table=True):
    """One feature of the seat that a part sits in: a range, a count, or a choice or thread as text."""

    __tablename__ = "seat_feature"
    __table_args__ = (
        check("range_is_whole", "(lower_nm IS NULL) = (upper_nm IS NULL)"),
        check("range_is_ordered", "lower_nm > 0 AND lower_nm <= upper_nm"),
        says_one_thing("lower_nm", "count_value", "text_value"),
        STRICT,
    )

    position_id: str = reference("position.id", key=True)
    feature: str = text(key=True)
    lower_nm: int | None = whole(optional=True)
    upper_nm: int | None = whole(optional=True)
    count_value: int | None = whole(optional=True)
    text_value: str | None = text(optional=True)


class Starter(SQLModel, table=True):
    """One catalogued unit of a family."""

    __tablename__ = "starter"
    __table_args__ = (
        UniqueConstraint("maker_code", "number"),
        check("number_not_empty", "length(number) > 0"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    family_id: str = reference("family.id")
    maker_code: str = reference("maker.code", index=False)
    number: str = text()
    description: str = text()
    withdrawn_on: str | None = text(optional=True)


class Listing(SQLModel, table=True):
    """A part that its maker lists for a position of a family."""

    __tablename__ = "listing"
    __table_args__ = (Index("ix_listing_part_id", "part_id"), day("withdrawn_on"), STRICT)

    position_id: str = reference("position.id", key=True)
    part_id: str = reference("part.id", key=True)
    withdrawn_on: str | None = text(optional=True)
