"""What a catalogue states of families, positions, seats, starters and listings.

Plain frozen values that refer to each other by human key. Lengths are nanometres.
"""

import attrs

from api.wear_parts.entries import ItemKey


@attrs.frozen(kw_only=True)
class PinionEntry:
    """The pinion of a family: its pitch is a diametral pitch (teeth per inch) or a module (nm)."""

    teeth: int
    diametral_pitch: int | None
    module_nm: int | None
    pressure_angle_millidegrees: int
    profile_shift_thousandths: int


@attrs.frozen(kw_only=True)
class SeatFeatureEntry:
    """One feature of a seat: a range (nm), a count, or a choice or thread as text."""

    feature: str
    lower_nm: int | None = None
    upper_nm: int | None = None
    count: int | None = None
    text: str | None = None


@attrs.frozen(kw_only=True)
class PositionEntry:
    """A place in a family where a wear part sits; `kind` is None where no kind covers it."""

    code: str
    kind: str | None
    quantity: int
    seat: tuple[SeatFeatureEntry, ...]

    def feature(self, name: str) -> SeatFeatureEntry | None:
        """Return the seat's feature of this name, if it is recorded."""
        return next((entry for entry in self.seat if entry.feature == name), None)


@attrs.frozen(kw_only=True)
class FamilyEntry:
    """Starters that share construction and positions; rotation is seen from the drive end."""

    code: str
    name: str
    construction: str
    voltage: int
    rated_power_w: int
    rotation: str
    field: str
    pole_count: int
    brush_count: int
    internal_reduction_thousandths: int
    pinion: PinionEntry
    pilot_diameter_nm: int
    mounting_holes: int
    access_class: str
    notes: str
    positions: tuple[PositionEntry, ...]

    def position(self, code: str) -> PositionEntry | None:
        """Return the family's position of this code, if it has it."""
        return next((entry for entry in self.positions if entry.code == code), None)


@attrs.frozen
class StarterEntry:
    """One catalogued unit of a family."""

    maker: str
    number: str
    family: str
    description: str

    @property
    def key(self) -> ItemKey:
        """Return the starter's human key."""
        return ItemKey("starter", self.maker, self.number)


@attrs.frozen
class ListingEntry:
    """A part that its maker lists for a position of a family."""

    family: str
    position: str
    maker: str
    number: str
