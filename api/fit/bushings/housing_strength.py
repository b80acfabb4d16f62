"""Whether a housing bears the bush pressed into it, or cracks or yields right through. Pure.

Brittle iron cracks where the hoop tension at its bore, greatest there (Lamé), reaches its tensile strength.
Ductile metal yields at its bore long before, and right through at the pressure `yield x ln(outside / bore)`,
the limit of a thick-walled tube by Tresca's rule. Both are textbook rules. The pressure is the elastic one:
more than there can be once metal yields. Only a crack is held against a bush: thin walls are usually pressed
right into the plastic (tribology-abc.com, notes of its press-fit calculator), and hold.

It is reckoned where the material of the housing and the ring around the seat are known; else the stress is
only told, since the thinnest boss that may be is much weaker than most. A wrapped bush is not a closed ring
and presses less than is reckoned: it is left out as well.
"""

import math
from collections.abc import Sequence
from typing import Final

import attrs

from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, possible_makes
from api.fit.bushings.bushing_states import BushingState, chance_of_interference
from api.fit.bushings.close_in import housing_outsides, rings
from api.fit.bushings.materials import Material, Sourced
from api.fit.bushings.press_fit import press

NM_PER_MM: Final = 1_000_000


@attrs.frozen(kw_only=True)
class HousingStrain:
    """The greatest pressure on a housing's bore and the one it bears (MPa), and how probably that is passed.

    `strength_mpa` is what the pressure it bears rests on.
    """

    greatest_mpa: float
    bears_mpa: float
    chance: float
    is_brittle: bool
    strength_mpa: Sourced

    @property
    def gives_way(self) -> str:
        """What the housing does beyond the pressure that it bears."""
        return "crack" if self.is_brittle else "yield through"


def pressure_borne_mpa(housing: Material, bore_nm: float, outside_nm: float) -> float | None:
    """Return the pressure on its bore at which a ring gives way, or None where its strength is not known.

    `bore_nm < outside_nm`, which may be infinite.
    """
    if housing.strength_mpa is None:
        return None
    strength = housing.strength_mpa.value
    if not housing.is_brittle:
        return strength * math.log(outside_nm / bore_nm)
    wall = (bore_nm / outside_nm) ** 2
    return strength * (1 - wall) / (1 + wall)


def strain_of_housing(bush: Bush, seat: BushSeat, states: Sequence[BushingState]) -> HousingStrain | None:
    """Return how the housing bears a bush over the temperatures, or None where that is not reckoned.

    Of the temperatures, of the rings that the housing may be and of what the bush may be made of, the
    answer is the one with the greatest chance to give way, then with the greatest pressure.
    """
    if bush.outside_diameter is None or bush.bore is None or seat.bore is None:
        return None
    if seat.outside_diameter is None or seat.material is None:
        return None
    bore, diameter = bush.bore.middle_nm, bush.outside_diameter.middle_nm
    makes = possible_makes(bush, seat, Journal())
    if bore >= diameter or any(make.construction == "wrapped" for make in makes):
        return None
    is_exact = bush.outside_diameter.u_nm == seat.bore.u_nm == 0
    found = []
    for make in makes:
        strength = make.housing.strength_mpa
        for outside in housing_outsides(seat.outside_diameter, diameter):
            bears = pressure_borne_mpa(make.housing, diameter, outside)
            if bears is None or strength is None:
                return None
            per_nm = press(NM_PER_MM, *rings(bore, diameter, outside, make)).pressure_mpa / NM_PER_MM
            for state in states:
                if state.interference_nm is None:
                    return None
                chance = 0.0
                if not is_exact or state.interference_nm.most > bears / per_nm:
                    chance = chance_of_interference(
                        bush.outside_diameter, seat.bore, (make,), state.celsius, bears / per_nm
                    ).most
                found.append(
                    HousingStrain(
                        greatest_mpa=per_nm * max(state.interference_nm.most, 0.0),
                        bears_mpa=bears,
                        chance=chance,
                        is_brittle=make.housing.is_brittle,
                        strength_mpa=strength,
                    )
                )
    return max(found, key=lambda one: (one.chance, one.greatest_mpa / one.bears_mpa))
