"""What a caller may ask of families and starters: the filters of their lists."""

from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field

from api.errors import FieldFault, InvalidInput
from api.measurement.lengths import parse_length
from api.measurement.refusals import UnreadableLength
from api.starters.shapes import Construction, FieldKind, PositionCode, Rotation, Voltage
from api.wire.paging import ListQuery

PILOT_TOLERANCE: Final = "0.3 mm"
"""How far a pilot diameter read by caliper may lie from the catalogue's and still match (our judgement:
paint and corrosion on the register, and the error of a caliper)."""

MODULE_TOLERANCE_NM: Final = 20_000
"""How far a stated module may lie from the catalogue's: 0.02 mm, less than half the least step between
modules in use (our judgement); 2.117 mm and 12 teeth to the inch are the same pitch."""


def _whole(value: Any) -> Any:
    """Read a whole number of a query, which is text, for a choice among numbers."""
    return (
        int(value)
        if isinstance(value, str) and value.isascii() and value.isdigit() and len(value) < 4
        else value
    )


Length = Annotated[str, Field(min_length=1, max_length=40)]
Code = Annotated[str, Field(min_length=1, max_length=64)]


class FamilyQuery(ListQuery):
    """What can be seen, counted and measured on a starter without a tag, and what it is called."""

    construction: Annotated[Construction | None, Field(description="how the drive is built")] = None
    voltage: Annotated[
        Voltage | None, BeforeValidator(_whole), Field(description="rated voltage in volts")
    ] = None
    rotation: Annotated[Rotation | None, Field(description="seen from the drive end")] = None
    field: Annotated[FieldKind | None, Field(description="wound coils or permanent magnets")] = None
    pole_count: Annotated[int | None, Field(ge=2, le=12, description="field poles")] = None
    brush_count: Annotated[int | None, Field(ge=2, le=12, description="brushes")] = None
    teeth: Annotated[int | None, Field(ge=6, le=20, description="teeth of the pinion")] = None
    diametral_pitch: Annotated[int | None, Field(ge=1, le=100, description="teeth per inch of diameter")] = (
        None
    )
    module: Annotated[Length | None, Field(description="of the pinion, with its unit: 2.5 mm")] = None
    min_power_w: Annotated[int | None, Field(ge=1, le=100_000, description="least rated power in watts")] = (
        None
    )
    max_power_w: Annotated[
        int | None, Field(ge=1, le=100_000, description="greatest rated power in watts")
    ] = None
    pilot_diameter: Annotated[
        Length | None, Field(description="register that centres the starter, measured: 82.5 mm")
    ] = None
    pilot_tolerance: Annotated[
        Length | None, Field(description=f"how far it may lie off; {PILOT_TOLERANCE} unless stated")
    ] = None
    mounting_holes: Annotated[int | None, Field(ge=1, le=6, description="holes in the flange")] = None
    position: Annotated[PositionCode | None, Field(description="a position that the family has")] = None
    q: Annotated[
        str | None, Field(min_length=1, max_length=60, description="part of the code or of the name")
    ] = None

    def lengths(self) -> dict[str, int]:
        """Return the lengths that were given, in nanometres; raises `InvalidInput` with every fault."""
        given = {
            "module": self.module,
            "pilot_diameter": self.pilot_diameter,
            "pilot_tolerance": self.pilot_tolerance,
        }
        found: dict[str, int] = {}
        faults = []
        for name, text in given.items():
            if text is None:
                continue
            try:
                found[name] = parse_length(text).nm
            except UnreadableLength as refused:
                faults.append(refused.as_fault(name))
        if self.pilot_tolerance is not None and self.pilot_diameter is None:
            expected = "pilot_diameter to be given with it"
            faults.append(FieldFault(("pilot_tolerance",), self.pilot_tolerance, expected, "without_pilot"))
        least, most = self.min_power_w, self.max_power_w
        if least is not None and most is not None and least > most:
            expected = f"at least min_power_w, {least}"
            faults.append(FieldFault(("max_power_w",), str(most), expected, "below_least"))
        if faults:
            raise InvalidInput.of(faults)
        if "pilot_diameter" in found:
            found.setdefault("pilot_tolerance", parse_length(PILOT_TOLERANCE).nm)
        return found


class StarterQuery(ListQuery):
    """Which starters."""

    family: Annotated[Code | None, Field(description="code of a family")] = None
    maker: Annotated[Code | None, Field(description="code of a maker")] = None
    number: Annotated[
        str | None,
        Field(
            min_length=1,
            max_length=64,
            pattern="[A-Za-z0-9]",
            description="any of its numbers; spaces, dashes and case do not matter",
        ),
    ] = None
