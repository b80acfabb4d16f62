"""Wire shapes of starter families, positions, seats and starters."""

from collections.abc import Iterable
from typing import Annotated, Any, Literal

from msgspec import Meta
from msgspec.structs import replace
from sqlalchemy import Row

from api.starters.entries import SeatFeatureEntry
from api.wear_parts.shapes import Day, Id, MakerAnswer, NumberAnswer, PartReference
from api.wear_parts.value_text import range_text
from api.wire.shapes import NM_PER_MM, Answer, LengthAnswer, length_answer

Construction = Literal[
    "direct_drive",
    "offset_gear_reduction",
    "planetary_gear_reduction",
    "movable_pole_shoe",
    "inertia_drive",
]
FieldKind = Literal["wound", "permanent_magnet"]
Rotation = Literal["clockwise", "counter_clockwise"]
AccessClass = Literal["easy", "moderate", "hard"]
Voltage = Literal[6, 12, 24]
PositionCode = Literal[
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
]


class PinionAnswer(Answer, frozen=True, kw_only=True):
    """The pinion of a family: one of diametral pitch (teeth per inch) and module is given."""

    teeth: int
    diametral_pitch: int | None
    module: LengthAnswer | None
    pressure_angle_degrees: float
    profile_shift: Annotated[float, Meta(description="in modules")]


class FamilySummary(Answer, frozen=True, kw_only=True):
    """A starter family in a list: what can be seen and measured from outside."""

    code: str
    name: str
    construction: Construction
    voltage: Voltage
    rated_power_w: int
    rotation: Annotated[Rotation, Meta(description="seen from the drive end")]
    field: FieldKind
    pole_count: int
    brush_count: int
    internal_reduction: Annotated[float, Meta(description="turns of the armature for one of the pinion")]
    pinion: PinionAnswer
    pilot_diameter: LengthAnswer
    mounting_holes: int
    access_class: Annotated[AccessClass, Meta(description="how hard the starter is to get at")]
    withdrawn_on: Day | None


class SeatFeatureAnswer(Answer, frozen=True, kw_only=True):
    """One feature of a seat: always as text, and as a range in millimetres or a count where it is one."""

    text: str
    lower_mm: float | None
    upper_mm: float | None
    count: int | None


class PositionAnswer(Answer, frozen=True, kw_only=True):
    """A place in a family where a wear part sits; without a kind nothing is said of what fits it."""

    code: PositionCode
    kind: str | None
    quantity: int
    seat: Annotated[dict[str, SeatFeatureAnswer], Meta(description="by feature, such as housing_bore")]
    listed_parts: Annotated[int, Meta(ge=0, description="parts that their makers list for it")]
    withdrawn_on: Day | None

    def own_state(self) -> "PositionAnswer":
        """Return it without the count of what is listed for it."""
        return replace(self, listed_parts=0)


class FamilyAnswer(FamilySummary, frozen=True, kw_only=True):
    """A starter family with its positions."""

    notes: str
    starters: Annotated[int, Meta(ge=0, description="catalogued units of the family")]
    positions: list[PositionAnswer]

    def own_state(self) -> "FamilyAnswer":
        """Return it with its positions but without the counts of its starters and of what is listed."""
        return replace(self, starters=0, positions=[position.own_state() for position in self.positions])


class ListingAnswer(Answer, frozen=True, kw_only=True):
    """A part that its maker lists for a position of a family."""

    family: Annotated[str, Meta(description="code of the family")]
    position: PositionCode
    part: PartReference
    withdrawn_on: Day | None

    def own_state(self) -> "ListingAnswer":
        """Return it with no more of its part than which one it is."""
        return replace(self, part=replace(self.part, maker="", number="", size="", description=""))


class StarterSummary(Answer, frozen=True, kw_only=True):
    """One catalogued unit in a list."""

    id: Id
    maker: MakerAnswer
    number: str
    family: Annotated[str, Meta(description="code of its family")]
    description: str
    withdrawn_on: Day | None


class StarterStep(Answer, frozen=True, kw_only=True):
    """One step of a chain of supersessions: which unit came next, and on which day."""

    on: Day
    starter: StarterSummary


class StarterAnswer(StarterSummary, frozen=True, kw_only=True):
    """One catalogued unit with its numbers and, where it was superseded, the way to the current one."""

    numbers: list[NumberAnswer]
    superseded_by: Annotated[list[StarterStep], Meta(description="the last one is the current unit")]

    def own_state(self) -> "StarterAnswer":
        """Return it without its maker's name, its numbers and what superseded it."""
        return replace(self, maker=replace(self.maker, name=""), numbers=[], superseded_by=[])


def family_members(row: Row[Any]) -> dict[str, Any]:
    """Return the members of a family's summary from its row."""
    module = row.pinion_module_nm
    return {
        "code": row.code,
        "name": row.name,
        "construction": row.construction,
        "voltage": row.voltage,
        "rated_power_w": row.rated_power_w,
        "rotation": row.rotation,
        "field": row.field,
        "pole_count": row.pole_count,
        "brush_count": row.brush_count,
        "internal_reduction": row.internal_reduction_thousandths / 1000,
        "pinion": PinionAnswer(
            teeth=row.pinion_teeth,
            diametral_pitch=row.pinion_diametral_pitch,
            module=None if module is None else length_answer(module),
            pressure_angle_degrees=row.pressure_angle_millidegrees / 1000,
            profile_shift=row.profile_shift_thousandths / 1000,
        ),
        "pilot_diameter": length_answer(row.pilot_diameter_nm),
        "mounting_holes": row.mounting_holes,
        "access_class": row.access_class,
        "withdrawn_on": row.withdrawn_on,
    }


def family_summary(row: Row[Any]) -> FamilySummary:
    """Give a family's row its wire shape in a list."""
    return FamilySummary(**family_members(row))


def seat_feature(entry: SeatFeatureEntry) -> SeatFeatureAnswer:
    """Give one feature of a seat its wire shape."""
    lower, upper, count = entry.lower_nm, entry.upper_nm, entry.count
    if lower is not None and upper is not None:
        return SeatFeatureAnswer(
            text=range_text(lower, upper),
            lower_mm=lower / NM_PER_MM,
            upper_mm=upper / NM_PER_MM,
            count=None,
        )
    text = str(count) if count is not None else str(entry.text)
    return SeatFeatureAnswer(text=text, lower_mm=None, upper_mm=None, count=count)


def position_answer(row: Row[Any], seat: Iterable[SeatFeatureEntry]) -> PositionAnswer:
    """Give a position's row and its seat their wire shape."""
    return PositionAnswer(
        code=row.code,
        kind=row.kind_code,
        quantity=row.quantity,
        seat={entry.feature: seat_feature(entry) for entry in seat},
        listed_parts=row.listed_parts,
        withdrawn_on=row.withdrawn_on,
    )


def starter_members(row: Row[Any]) -> dict[str, Any]:
    """Return the members of a starter's summary from its row (with `maker_name` and `family_code`)."""
    return {
        "id": row.id,
        "maker": MakerAnswer(code=row.maker_code, name=row.maker_name),
        "number": row.number,
        "family": row.family_code,
        "description": row.description,
        "withdrawn_on": row.withdrawn_on,
    }


def starter_summary(row: Row[Any]) -> StarterSummary:
    """Give a starter's row its wire shape in a list."""
    return StarterSummary(**starter_members(row))
