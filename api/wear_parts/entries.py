"""What a catalogue states of kinds, makers, sizes, parts, their numbers and supersessions.

Plain frozen values that refer to each other by human key (kind code, size code, maker and number),
as a file or a request does. Lengths are nanometres, days ISO 8601 text.
"""

from typing import NamedTuple

import attrs


class ItemKey(NamedTuple):
    """The human key of a part or a starter; `owner` is `part` or `starter`."""

    owner: str
    maker: str
    number: str

    def __str__(self) -> str:
        """Return the key for a sentence."""
        return f"{self.owner} {self.maker} {self.number}"


@attrs.frozen
class ChoiceEntry:
    """One value that a choice dimension can take, and its label."""

    value: str
    label: str


@attrs.frozen(kw_only=True)
class DimensionEntry:
    """One dimension of a kind; spans are nm for a length, pieces for a count, None for a choice."""

    code: str
    name: str
    measure: str
    how: str
    place: str
    wear_sense: str
    wear_scale_nm: int | None
    span_lower: int | None
    span_upper: int | None
    slip_chance: float
    miscount_chance: float
    two_point_over: str | None = None
    origin: str
    choices: tuple[ChoiceEntry, ...] = ()


@attrs.frozen(kw_only=True)
class KindEntry:
    """A kind of wear part with its dimensions, in the order in which they are shown."""

    code: str
    name: str
    description: str
    model_version: str
    unlisted_prior: float
    unlisted_prior_origin: str
    dimensions: tuple[DimensionEntry, ...]

    def dimension(self, code: str) -> DimensionEntry | None:
        """Return the dimension of this code, if the kind has it."""
        return next((entry for entry in self.dimensions if entry.code == code), None)


@attrs.frozen
class MakerEntry:
    """Who makes parts or starters."""

    code: str
    name: str


@attrs.frozen(kw_only=True)
class SizeValue:
    """What a size says of one dimension: a range (nm), a count, a choice, or that it does not apply."""

    applies: bool = True
    lower_nm: int | None = None
    upper_nm: int | None = None
    count: int | None = None
    choice: str | None = None


@attrs.frozen(kw_only=True)
class SizeValueEntry(SizeValue):
    """The same with the dimension's code, and on what it rests."""

    dimension: str
    provenance: str


@attrs.frozen
class SizeEntry:
    """One distinct set of dimensions; a dimension without a value is not recorded."""

    kind: str
    code: str
    values: tuple[SizeValueEntry, ...]

    def value(self, dimension: str) -> SizeValueEntry | None:
        """Return what the size says of a dimension, or None where it says nothing."""
        return next((entry for entry in self.values if entry.dimension == dimension), None)


@attrs.frozen(kw_only=True)
class PartEntry:
    """One maker's wear part."""

    maker: str
    number: str
    kind: str
    size: str
    description: str
    material: str | None
    grade: str | None
    voltage: int | None
    provenance: str

    @property
    def key(self) -> ItemKey:
        """Return the part's human key."""
        return ItemKey("part", self.maker, self.number)


@attrs.frozen
class NumberEntry:
    """A further identifier of a part or a starter; a GTIN's normalised form has 14 digits."""

    item: ItemKey
    scheme: str
    issuer: str | None
    written: str
    normalised: str


@attrs.frozen
class SupersessionEntry:
    """An item whose maker's number was replaced by another item's on a day."""

    old: ItemKey
    new: ItemKey
    on: str
