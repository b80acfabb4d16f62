"""What no bush, seat, journal or temperature can be: refused with the figures, all at once. Pure."""

from collections.abc import Iterator, Sequence
from typing import Final

from api.errors import FieldFault
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, Temperatures
from api.fit.bushings.bushing_press import GreatestInterference
from api.fit.bushings.materials import MATERIALS
from api.fit.judging.features import Feature
from api.fit.judging.gaps import exact_span
from api.measurement.lengths import format_length
from api.measurement.refusals import nearest_name

ABSOLUTE_ZERO_CELSIUS: Final = -273.15

NO_PRESS: Final = GreatestInterference(250_000, 0.01)
"""Interference beyond which it is no press fit at all but a slip: 0.41 mm at 16 mm (our judgement)."""

NO_JOURNAL_NM: Final = 1_000_000
"""How much larger than the free bore a shaft is no journal of it (our judgement)."""


def material_fault(code: str, *path: str | int) -> FieldFault:
    """Return the fault of a material that is not known, with the nearest known one."""
    expected = f"one of {', '.join(MATERIALS)}"
    return FieldFault(path, code, expected, "unknown_material", nearest_name(code, MATERIALS))


def find_bushing_faults(
    bush: Bush, seat: BushSeat, shaft: Journal, temperatures: Temperatures
) -> tuple[FieldFault, ...]:
    """Return every impossible value, with its path in `{bush, housing, shaft, temperatures_celsius}`.

    Material codes have to be known. Codes: `no_wall`, `no_press`, `no_journal`, `no_ring`, `no_flange`,
    `no_body`, `other_construction`, `below_absolute_zero`, `melts`, `order`.
    """
    found: list[FieldFault] = []
    found.extend(_bush_faults(bush))
    found.extend(_pair_faults(bush, seat, shaft))
    codes = [code for code in (bush.material, seat.material, shaft.material) if code is not None]
    found.extend(_temperature_faults(temperatures, codes))
    return tuple(found)


def _bush_faults(bush: Bush) -> Iterator[FieldFault]:
    outside = bush.outside_diameter
    if outside is not None and bush.bore is not None and bush.bore.middle_nm >= outside.middle_nm:
        wall = format_length(round((outside.middle_nm - bush.bore.middle_nm) / 2))
        expected = f"less than the outside diameter {_shown(outside)}; the wall would be {wall} thick"
        yield FieldFault(("bush", "bore"), _shown(bush.bore), expected, "no_wall")
    flange = bush.flange_diameter
    if outside is not None and flange is not None and flange.upper_nm <= outside.lower_nm:
        expected = f"more than the outside diameter {_shown(outside)}"
        yield FieldFault(("bush", "flange_diameter"), _shown(flange), expected, "no_flange")
    thick = bush.flange_thickness
    if thick is not None and bush.length is not None and thick.lower_nm >= bush.length.upper_nm:
        expected = f"less than the length {_shown(bush.length)}, which includes the flange"
        yield FieldFault(("bush", "flange_thickness"), _shown(thick), expected, "no_body")
    if bush.material is not None and bush.construction is not None:
        usual = MATERIALS[bush.material].made_as
        if usual is not None and usual != bush.construction and "porous" in (usual, bush.construction):
            expected = f"{usual}, as bushes of {bush.material} are"
            yield FieldFault(("bush", "construction"), bush.construction, expected, "other_construction")


def _pair_faults(bush: Bush, seat: BushSeat, shaft: Journal) -> Iterator[FieldFault]:
    outside, housing = bush.outside_diameter, seat.bore
    if outside is not None and housing is not None:
        most = NO_PRESS.at(housing.middle_nm)
        over = outside.bounds_nm()[0] - housing.bounds_nm()[1]
        if over > most:
            expected = (
                f"at most {format_length(round(most / 1_000) * 1_000)} more than the housing bore "
                f"{_shown(housing)}; {format_length(over)} more at least cannot be pressed in"
            )
            yield FieldFault(("bush", "outside_diameter"), _shown(outside), expected, "no_press")
    around = seat.outside_diameter
    if housing is not None and around is not None and around.middle_nm <= housing.middle_nm:
        expected = f"more than the bore of the housing {_shown(housing)}"
        yield FieldFault(("housing", "outside_diameter"), _shown(around), expected, "no_ring")
    if bush.bore is not None and shaft.diameter is not None:
        over = shaft.diameter.bounds_nm()[0] - bush.bore.bounds_nm()[1]
        if over > NO_JOURNAL_NM:
            expected = (
                f"at most {format_length(NO_JOURNAL_NM)} more than the bore {_shown(bush.bore)}; "
                f"{format_length(over)} more at least is no journal of it"
            )
            yield FieldFault(("shaft", "diameter"), _shown(shaft.diameter), expected, "no_journal")


def _temperature_faults(temperatures: Temperatures, codes: Sequence[str]) -> Iterator[FieldFault]:
    melting = min((MATERIALS[code] for code in codes), key=lambda one: one.melts_from_celsius.value)
    melts_from = melting.melts_from_celsius.value
    for moment, celsius in temperatures.moments():
        path = ("temperatures_celsius", moment)
        if celsius < ABSOLUTE_ZERO_CELSIUS:
            expected = f"at least {ABSOLUTE_ZERO_CELSIUS} degrees Celsius, absolute zero"
            yield FieldFault(path, f"{celsius:g}", expected, "below_absolute_zero")
        elif celsius >= melts_from:
            expected = f"less than {melts_from:g} degrees Celsius, where {melting.code} begins to melt"
            yield FieldFault(path, f"{celsius:g}", expected, "melts")
    if temperatures.cold > temperatures.hot:
        expected = f"at most the hot temperature, {temperatures.hot:g} degrees Celsius"
        yield FieldFault(("temperatures_celsius", "cold"), f"{temperatures.cold:g}", expected, "order")


def _shown(feature: Feature) -> str:
    return exact_span((feature.lower_nm, feature.upper_nm))
