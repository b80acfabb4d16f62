"""What an answer tells of each part of a kind, in columns beside its index. Pure.

They are derived from the database with the bulk and stand in its order: those of a part by its place among
the parts, those of a size by its stored row. They may be mapped from a file.
"""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Final

import attrs
import numpy as np
from numpy.typing import NDArray

from api.interchange.seat_features import PartFacts
from api.matching.columns.size_columns import CodeArray
from api.matching.columns.text_column import TextColumn
from api.matching.likelihoods.sums import lay_stretches
from api.matching.sizes.size_table import IntArray

SmallArray = NDArray[np.int8]

CONDITIONS: Final = ("new", "remanufactured")
"""Of the offers that are kept here: a worn part is not renewed with a used one."""
NONE: Final = -1
"""Where there is no offer, no stock stated, no successor, no origin."""
UNDECIDED: Final = -2
"""Where offers in two currencies can deliver: a rule of its own decides (`best_part_offer`)."""


@attrs.frozen(eq=False)
class Coded:
    """A column of texts of which many are equal: the distinct ones, and which of them each is."""

    texts: TextColumn
    codes: CodeArray

    def at_all(self, places: IntArray) -> list[str]:
        """Return the texts at some places."""
        return self.texts.at_all(self.codes[places])

    @cached_property
    def few(self) -> tuple[str, ...]:
        """Return the distinct texts, where there are few."""
        return tuple(self.texts.at(place) for place in range(len(self.texts)))


@attrs.frozen(kw_only=True, eq=False)
class OfferColumns:
    """Offers of unused parts, those of the part at place p from start[p] to start[p + 1].

    The offers of a part stand in the order in which they are preferred for one piece: by the price of the
    packs it takes, lead time, supplier, number. Amounts are in minor units; `packs` are those that one piece
    takes. Days are ordinals (`date.toordinal`), `last` the first on which the offer no longer holds.
    """

    start: IntArray
    numbers: TextColumn
    supplier: Coded
    currency: Coded
    condition: SmallArray
    price: IntArray
    packs: CodeArray
    pack_size: CodeArray
    minimum: CodeArray
    lead: CodeArray
    stock: CodeArray
    first: CodeArray
    last: CodeArray

    def best(self, places: IntArray, day: int) -> IntArray:
        """Return which offer to take for one piece of each of those parts on a day, `NONE` or `UNDECIDED`."""
        offers, starts = lay_stretches(self.start[places], self.start[places + 1])
        of = np.repeat(np.arange(len(places)), np.diff(starts))
        stock, pieces = self.stock[offers], self.packs[offers] * self.pack_size[offers]
        holds = (self.first[offers] <= day) & (day < self.last[offers]) & ((stock < 0) | (stock >= pieces))
        of, offers = of[holds], offers[holds]
        answer = np.full(len(places), NONE, dtype=np.int64)
        leading = np.flatnonzero(np.diff(of, prepend=-1))
        answer[of[leading]] = offers[leading]
        currency = self.currency.codes
        answer[of[currency[offers] != currency[answer[of]]]] = UNDECIDED
        return answer


@attrs.frozen(kw_only=True, eq=False)
class Shelf:
    """The columns: of each part by its place, and where the values of each size come from by its row.

    `maker_names` stand in the order of `makers`, their codes. `facts` are what parts state themselves
    (`facts_text`). The parts at the places `replaced` (ascending) were superseded by those of the ids
    `replacements`.
    `provenance` and `knowledge` (nm) are by dimension.
    """

    makers: TextColumn
    maker_names: TextColumn
    descriptions: Coded
    facts: Coded
    rests_on: SmallArray
    offers: OfferColumns
    replaced: CodeArray
    replacements: NDArray[np.uint8]
    provenance: Mapping[str, SmallArray]
    knowledge: Mapping[str, IntArray]

    @cached_property
    def name_of_maker(self) -> Mapping[str, str]:
        """Return the names of the makers by their codes."""
        return {self.makers.at(one): self.maker_names.at(one) for one in range(len(self.makers))}

    @cached_property
    def facts_told(self) -> tuple[PartFacts, ...]:
        """Return the distinct things that parts state themselves, by their code."""
        return tuple(read_facts(text) for text in self.facts.few)

    def replacement_of(self, places: Sequence[int]) -> dict[int, int]:
        """Return which of `replacements` replaced each of those parts that was superseded."""
        at = np.searchsorted(self.replaced, places)
        return {
            place: int(found)
            for place, found in zip(places, at.tolist(), strict=True)
            if found < len(self.replaced) and self.replaced[found] == place
        }


def facts_text(facts: PartFacts) -> str:
    """Return what a part states itself as one line and a rest: the voltage, and after `=` the material."""
    voltage = "" if facts.voltage is None else str(facts.voltage)
    return voltage + "\n" + ("" if facts.material is None else f"={facts.material}")


def read_facts(text: str) -> PartFacts:
    """Return what `facts_text` tells."""
    voltage, material = text.split("\n", 1)
    return PartFacts(int(voltage) if voltage else None, material[1:] if material else None)
