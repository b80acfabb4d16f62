"""What a family of starters must be. Pure.

An entry has the members of `FAMILY_FIELDS`; its `position` is a list of entries of `check_position`.
Faults carry the path to the member: `("position", 2, "seat", "housing_bore")`.
"""

from collections.abc import Collection, Mapping

from api.errors import FieldFault, InvalidInput, shown
from api.starters.check_position import check_position
from api.starters.entries import FamilyEntry, PinionEntry, PositionEntry
from api.starters.positions_of_construction import find_position_faults
from api.starters.vocabulary import ACCESS_CLASSES, CONSTRUCTIONS, FIELDS, ROTATIONS
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.length_ranges import read_length
from api.wear_parts.vocabulary import VOLTAGES

FAMILY_FIELDS = (
    "code",
    "name",
    "construction",
    "voltage",
    "rated_power_w",
    "rotation",
    "field",
    "pole_count",
    "brush_count",
    "internal_reduction",
    "pinion",
    "pilot_diameter",
    "mounting_holes",
    "access_class",
    "notes",
    "position",
)
PINION_FIELDS = ("teeth", "diametral_pitch", "module", "pressure_angle", "profile_shift")
REDUCTIONS = ("offset_gear_reduction", "planetary_gear_reduction")


def check_family(entry: Mapping[str, object], kinds: Collection[str]) -> FamilyEntry:
    """Return the family that an entry states; its positions' kinds are among `kinds`.

    Magnetic poles come in pairs; a direct drive turns its pinion once for each armature turn, a gear
    reduction slower; a movable pole shoe is pulled by its field winding, so that its field is wound.
    Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, FAMILY_FIELDS)
    construction = fields.one_of("construction", CONSTRUCTIONS)
    family = FamilyEntry(
        code=fields.code("code"),
        name=fields.text("name"),
        construction=construction,
        voltage=fields.whole("voltage", min(VOLTAGES), max(VOLTAGES)),
        rated_power_w=fields.whole("rated_power_w", 50, 20_000),
        rotation=fields.one_of("rotation", ROTATIONS),
        field=fields.one_of("field", FIELDS),
        pole_count=fields.whole("pole_count", 2, 12),
        brush_count=fields.whole("brush_count", 2, 12),
        internal_reduction_thousandths=fields.scaled("internal_reduction", 1_000, 1_000, 10_000),
        pinion=_pinion(fields),
        pilot_diameter_nm=read_length(fields, "pilot_diameter") or 1,
        mounting_holes=fields.whole("mounting_holes", 1, 6),
        access_class=fields.one_of("access_class", ACCESS_CLASSES),
        notes=fields.optional_text("notes", prose=True) or "",
        positions=_positions(fields, construction, kinds),
    )
    _check_make(fields, family)
    fields.settle()
    return family


def _check_make(fields: EntryFields, family: FamilyEntry) -> None:
    """Note what contradicts the construction."""
    if family.voltage not in VOLTAGES:
        known = ", ".join(str(voltage) for voltage in VOLTAGES)
        fields.refuse("voltage", fields.given("voltage"), f"one of {known}", "unknown_choice")
    if family.pole_count % 2:
        fields.refuse("pole_count", family.pole_count, "an even count: poles come in pairs", "odd_poles")
    stated = fields.given("internal_reduction")
    direct = family.internal_reduction_thousandths == 1_000
    if family.construction == "direct_drive" and not direct:
        fields.refuse("internal_reduction", stated, "1, as in every direct drive", "contradicts_construction")
    if family.construction in REDUCTIONS and direct and stated is not None:
        fields.refuse(
            "internal_reduction", stated, "more than 1 in a gear reduction", "contradicts_construction"
        )
    if family.construction == "movable_pole_shoe" and family.field == "permanent_magnet":
        expected = "wound: a winding pulls the movable pole shoe"
        fields.refuse("field", family.field, expected, "contradicts_construction")


def _pinion(fields: EntryFields) -> PinionEntry:
    inner = fields.mapping("pinion", PINION_FIELDS)
    by_module = inner.given("module") is not None
    if by_module and inner.given("diametral_pitch") is not None:
        inner.refuse(
            "module", inner.given("module"), "a module or a diametral pitch, not both", "two_pitches"
        )
    pinion = PinionEntry(
        teeth=inner.whole("teeth", 6, 20),
        diametral_pitch=None if by_module else inner.whole("diametral_pitch", 3, 40),
        module_nm=read_length(inner, "module") if by_module else None,
        pressure_angle_millidegrees=inner.scaled("pressure_angle", 1_000, 10_000, 30_000),
        profile_shift_thousandths=inner.scaled("profile_shift", 1_000, -1_000, 1_500),
    )
    fields.absorb(inner, "pinion")
    return pinion


def _positions(fields: EntryFields, construction: str, kinds: Collection[str]) -> tuple[PositionEntry, ...]:
    items = fields.mappings("position")
    if not items and fields.given("position") in (None, []):
        fields.refuse("position", "", "one position at least", "missing")
    found: list[PositionEntry] = []
    for place, item in enumerate(items):
        try:
            position = check_position(item, kinds)
        except InvalidInput as refused:
            fields.take(refused.faults, "position", place)
            continue
        if any(position.code == other.code for other in found):
            fault = FieldFault(("code",), shown(position.code), "a position not used before", "duplicate")
            fields.take((fault,), "position", place)
        found.append(position)
    stated = [str(item.get("code", "")) for item in items]
    fields.take(find_position_faults(construction, stated))
    return tuple(found)
