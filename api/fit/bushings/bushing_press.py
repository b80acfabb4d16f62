"""Whether a bush stays tight in its seat, and what it takes to press it in. Pure."""

from collections.abc import Sequence
from typing import Final

import attrs

from api.fit.bushings.bushing_pieces import Bush, BushSeat, Make
from api.fit.bushings.bushing_states import BushingState, Span
from api.fit.bushings.close_in import housing_outsides, rings
from api.fit.bushings.housing_strength import HousingStrain, strain_of_housing
from api.fit.bushings.press_fit import press, press_in_force_newton
from api.fit.judging.reasons import Figure, Grade, Reason
from api.measurement.lengths import format_length

SURE: Final = 0.99
"""Least chance that counts as a yes (our judgement); a fit whose limits leave no doubt has 1."""

HARDLY: Final = 0.01
"""Greatest chance that counts as a no (our judgement)."""

NM_PER_MM: Final = 1_000_000


@attrs.frozen
class GreatestInterference:
    """Interference (nm) as a fixed part and a share of the diameter."""

    fixed_nm: float
    share: float

    def at(self, diameter_nm: float) -> float:
        """Return the interference at a diameter, both in nm."""
        return self.fixed_nm + self.share * diameter_nm


PRESSED_SAFELY: Final = GreatestInterference(30_000, 0.003)
"""Up to here a bush is pressed in without harm: 0.078 mm at 16 mm (our judgement; s7 in H7 reaches 0.046)."""

PRESSED_AT_ALL: Final = GreatestInterference(45_000, 0.0045)
"""From here on it is refused: half as much again (our judgement)."""


@attrs.frozen(kw_only=True)
class PressingIn:
    """What pressing does at the temperature of assembly: spans over all that is not known.

    Stresses in MPa, tension above zero, at the bores; force in N, None where no length is known. Shares
    are those of the interference by which the bore closes in; the elastic one is what pressing without a
    fitting pin gives.
    """

    interference_nm: Span
    pressure_mpa: Span
    bush_hoop_mpa: Span
    housing_hoop_mpa: Span
    force_newton: Span | None
    elastic_share: Span


def judge_hold(bush: Bush, seat: BushSeat, states: Sequence[BushingState], tight: Span | None) -> Reason:
    """Return what interference over the temperatures says of the outside diameter.

    `states` begin with assembly; `tight` is the chance that the interference there is more than is
    pressed in without harm. Sure to hold at every moment: fits; sure to be loose at one, or far too
    tight: does not fit; else, or where an iron housing may crack, unknown.
    """
    if bush.outside_diameter is None or seat.bore is None:
        missing = "outside diameter of the bush" if bush.outside_diameter is None else "bore of the housing"
        return Reason("outside_diameter", "unknown", f"the {missing} is not known")
    at_assembly = states[0].interference_nm
    loosest = min(states, key=lambda state: (state.holds or Span(0, 0)).least)
    hopeless = min(states, key=lambda state: (state.holds or Span(0, 0)).most)
    if at_assembly is None or loosest.holds is None or hopeless.holds is None or tight is None:
        return Reason("outside_diameter", "unknown", "the interference is not known")
    diameter = bush.outside_diameter.middle_nm
    told = f"interference in the housing {span_text(at_assembly)} at {states[0].celsius:g} °C"
    figures = (
        Figure("least_interference_mm", shown_mm(at_assembly.least)),
        Figure("greatest_interference_mm", shown_mm(at_assembly.most)),
        Figure("chance_holds", round(loosest.holds.least, 6)),
        Figure("at_celsius", loosest.celsius),
    )

    def reason(verdict: Grade, more: str) -> Reason:
        return Reason("outside_diameter", verdict, f"{told}{more}", figures=figures)

    if hopeless.holds.most <= HARDLY:
        return reason("does_not_fit", f": it would turn in its seat{_when(hopeless, states)}")
    if at_assembly.least >= PRESSED_AT_ALL.at(diameter):
        return reason("does_not_fit", ": far too tight to press in")
    if loosest.holds.least < SURE:
        return reason("unknown", f": it may not hold{_when(loosest, states)}, {_chance(loosest.holds)}")
    if tight.most > HARDLY:
        limit = format_length(round(PRESSED_SAFELY.at(diameter) / 1_000) * 1_000)
        return reason("unknown", f": more than the {limit} that are pressed in without harm")
    strain = strain_of_housing(bush, seat, states)
    if strain is not None and strain.is_brittle and strain.chance > HARDLY:
        return reason("unknown", f": the housing may {strain.gives_way}, {_strain_text(strain)}")
    return reason("fits", f": it holds from {_range_text(states)}")


def pressing_in(
    bush: Bush, seat: BushSeat, makes: Sequence[Make], interference_nm: Span
) -> PressingIn | None:
    """Return what pressing in does, or None where a diameter is missing or the bush has no wall."""
    if bush.outside_diameter is None or bush.bore is None or seat.bore is None:
        return None
    bore, diameter = bush.bore.middle_nm, bush.outside_diameter.middle_nm
    if bore >= diameter:
        return None
    length = _pressed_length_nm(bush, seat)
    pressures, bush_hoops, housing_hoops, forces, shares = [], [], [], [], []
    for make in makes:
        thin, thick = housing_outsides(seat.outside_diameter, diameter)
        for amount, outside in ((interference_nm.least, thin), (interference_nm.most, thick)):
            found = press(amount, *rings(bore, diameter, outside, make))
            pressures.append(found.pressure_mpa)
            bush_hoops.append(found.bush_hoop_mpa)
            unit = press(1e6, *rings(bore, diameter, outside, make))
            shares.append(unit.bore_closes_nm / 1e6)
            for coefficient in (make.bush.friction_least.value, make.bush.friction_most.value):
                if length is not None:
                    forces.append(press_in_force_newton(coefficient, found.pressure_mpa, diameter, length))
        for outside in (thin, thick):
            for amount in (interference_nm.least, interference_nm.most):
                hoop = press(amount, *rings(bore, diameter, outside, make)).housing_hoop_mpa
                housing_hoops.append(hoop or 0.0)
    return PressingIn(
        interference_nm=interference_nm,
        pressure_mpa=_span(pressures),
        bush_hoop_mpa=_span(bush_hoops),
        housing_hoop_mpa=_span(housing_hoops),
        force_newton=_span(forces) if forces else None,
        elastic_share=_span(shares),
    )


def shown_mm(nm: float) -> float:
    """Return nanometres as millimetres, to the nanometre."""
    return round(nm / NM_PER_MM, 6)


def span_text(span: Span) -> str:
    """Return a span of nm as text in millimetres, to the tenth of a micrometre, outwards."""
    least, most = int(span.least // 100) * 100, -int(-span.most // 100) * 100
    return f"{format_length(least).removesuffix(' mm')}..{format_length(most)}"


def _strain_text(strain: HousingStrain) -> str:
    return (
        f"pressed by up to {strain.greatest_mpa:.0f} MPa, of which it bears {strain.bears_mpa:.0f} "
        f"({strain.strength_mpa.value:g} MPa: {strain.strength_mpa.source})"
    )


def _span(values: Sequence[float]) -> Span:
    return Span(min(values), max(values))


def _pressed_length_nm(bush: Bush, seat: BushSeat) -> float | None:
    """Return the greatest length that is pressed: of the bush without its flange, of the seat."""
    ends = []
    if bush.length is not None:
        flange = bush.flange_thickness.middle_nm if bush.flange_thickness is not None else 0.0
        ends.append(max(bush.length.middle_nm - flange, 0.0))
    if seat.depth is not None:
        ends.append(seat.depth.middle_nm)
    return min(ends) if ends else None


def _when(state: BushingState, states: Sequence[BushingState]) -> str:
    return "" if state is states[0] else f" at {state.celsius:g} °C"


def _range_text(states: Sequence[BushingState]) -> str:
    celsius = [state.celsius for state in states]
    return f"{min(celsius):g} to {max(celsius):g} °C"


def _chance(span: Span) -> str:
    return f"chance that it does {span.least:.1%}"
