"""What a bushing check is about: the bush, its seat, the journal in it, and the temperatures. Pure."""

from typing import Final, Literal

import attrs

from api.fit.bushings.materials import HOUSING_MATERIALS, MATERIALS, Construction, Material, bush_materials
from api.fit.judging.features import Feature

BoreState = Literal["free", "installed"]
SeatForm = Literal["through", "blind"]
Moment = Literal["assembly", "cold", "hot"]

REFERENCE_CELSIUS: Final = 20.0
"""The temperature for which lengths are stated and read (ISO 1)."""


@attrs.frozen(kw_only=True)
class Bush:
    """A bush, as far as it is known; `length` includes the flange.

    `bore_state` says whether its bore is that of the loose piece or of the piece pressed into its seat.
    `material` is a code of `MATERIALS`.
    """

    outside_diameter: Feature | None = None
    bore: Feature | None = None
    bore_state: BoreState = "free"
    length: Feature | None = None
    flange_thickness: Feature | None = None
    flange_diameter: Feature | None = None
    material: str | None = None
    construction: Construction | None = None


@attrs.frozen(kw_only=True)
class BushSeat:
    """The seat of a bush: bore, depth, form, and the ring around it; `material` is a code of `MATERIALS`."""

    bore: Feature | None = None
    depth: Feature | None = None
    form: SeatForm | None = None
    material: str | None = None
    outside_diameter: Feature | None = None


@attrs.frozen(kw_only=True)
class Journal:
    """The piece of the shaft that turns in the bush; `material` is a code of `MATERIALS`."""

    diameter: Feature | None = None
    material: str = "steel"


@attrs.frozen(kw_only=True)
class Temperatures:
    """When the bush is pressed in, and the coldest and hottest it meets, in degrees Celsius.

    -30 and 120 are our judgement of a starter beside an engine from a winter's night to a hot stop.
    """

    assembly: float = REFERENCE_CELSIUS
    cold: float = -30.0
    hot: float = 120.0

    def moments(self) -> tuple[tuple[Moment, float], ...]:
        """Return the three moments with their temperatures; assembly comes first."""
        return ("assembly", self.assembly), ("cold", self.cold), ("hot", self.hot)


@attrs.frozen(kw_only=True)
class Pieces:
    """The four diameters that decide whether a bush runs, all of them known, and that of the housing."""

    outside_diameter: Feature
    housing: Feature
    bore: Feature
    shaft: Feature
    housing_outside: Feature | None = None

    @classmethod
    def known(cls, bush: Bush, seat: BushSeat, shaft: Journal) -> "Pieces | None":
        """Return the pieces, or None where one of the four is not known or the bush has no wall."""
        if bush.outside_diameter is None or seat.bore is None:
            return None
        if bush.bore is None or shaft.diameter is None:
            return None
        if bush.bore.middle_nm >= bush.outside_diameter.middle_nm:
            return None
        return cls(
            outside_diameter=bush.outside_diameter,
            housing=seat.bore,
            bore=bush.bore,
            shaft=shaft.diameter,
            housing_outside=seat.outside_diameter,
        )


@attrs.frozen
class Make:
    """One way in which bush, housing and shaft may be made."""

    bush: Material
    housing: Material
    shaft: Material
    construction: Construction


def possible_makes(bush: Bush, seat: BushSeat, shaft: Journal) -> tuple[Make, ...]:
    """Return every make that agrees with what is stated; what is not stated may be anything usual.

    A construction that is stated counts before the one that the material is usually of; a material that
    is not usually of any makes solid bushes.
    """
    bushes = (bush.material,) if bush.material is not None else bush_materials(bush.construction)
    housings = (seat.material,) if seat.material is not None else HOUSING_MATERIALS
    return tuple(
        Make(
            MATERIALS[made_of],
            MATERIALS[housing],
            MATERIALS[shaft.material],
            bush.construction or MATERIALS[made_of].made_as or "solid",
        )
        for made_of in bushes
        for housing in housings
    )
