"""Whether a bush of a size holds in its seat, lets the shaft turn, and is as long as the seat. Pure."""

from functools import lru_cache
from typing import Final, cast, get_args

import attrs

from api.fit.bushings.bushing import bush_fits, judge_bushing
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, SeatForm
from api.fit.bushings.materials import Construction
from api.fit.judging.reasons import Reason
from api.interchange.seat_features import (
    PartFacts,
    SizeValues,
    seat_length,
    seat_word,
    size_choice,
    size_length,
)
from api.starters.entries import PositionEntry

MATERIAL_IN_WORDS: Final = {
    "tin bronze, porous": "sintered_bronze",
    "iron and graphite, porous": "sintered_iron",
    "leaded bronze": "tin_bronze",
    "tin bronze": "tin_bronze",
    "phosphor bronze": "phosphor_bronze",
    "bronze on steel strip": "bronze_on_steel",
}
"""What a catalogue's words for a bush's material mean; other words leave open what it is made of."""


DIMENSIONS: Final = frozenset({"outside_diameter", "bore", "length"})
"""Of which dimensions the check says something."""


@attrs.frozen(cache_hash=True)
class BushPlace:
    """The seat of a bush and the journal that turns in it."""

    seat: BushSeat
    shaft: Journal


def bush_of(size: SizeValues, part: PartFacts) -> Bush:
    """Return a bush of a size; where the part does not say of what it is made, its construction tells."""
    made = size_choice(size, "construction")
    return Bush(
        outside_diameter=size_length(size, "outside_diameter"),
        bore=size_length(size, "bore"),
        length=size_length(size, "length"),
        flange_thickness=size_length(size, "flange_thickness"),
        flange_diameter=size_length(size, "flange_diameter"),
        material=MATERIAL_IN_WORDS.get((part.material or "").casefold()),
        construction=cast(Construction, made) if made in get_args(Construction) else None,
    )


def seat_of(position: PositionEntry) -> BushPlace:
    """Return seat and journal as a position states them."""
    form = seat_word(position, "housing_bore_form")
    seat = BushSeat(
        bore=seat_length(position, "housing_bore"),
        depth=seat_length(position, "housing_depth"),
        form=cast(SeatForm, form) if form in get_args(SeatForm) else None,
        material=seat_word(position, "housing_material"),
        outside_diameter=seat_length(position, "housing_outside_diameter"),
    )
    return BushPlace(seat, Journal(diameter=seat_length(position, "shaft_diameter")))


@lru_cache(maxsize=16384)
def judge(bush: Bush, place: BushPlace) -> tuple[Reason, ...]:
    """Return what the seat says of outside diameter, bore and length, over the year's temperatures.

    Judged once for what many families share: the same bush in the same seat on the same shaft. What is not
    known of materials is taken as wide as the size's construction leaves it.
    """
    return judge_bushing(bush, place.seat, place.shaft).reasons


def fits(bush: Bush, place: BushPlace) -> bool:
    """Return whether the bush surely fits."""
    return bush_fits(bush, place.seat, place.shaft)
