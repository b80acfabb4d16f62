"""Whether a bush of a size holds in its seat, lets the shaft turn, and is as long as the seat. Pure."""

from functools import lru_cache
from typing import Final, cast, get_args

from api.fit.bushings.bushing import judge_bushing
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


def check_bushing(position: PositionEntry, size: SizeValues, part: PartFacts) -> tuple[Reason, ...]:
    """Return what the seat says of outside diameter, bore and length, over the year's temperatures.

    Where the part does not say what it is made of, that is as wide as the size's construction leaves it.
    """
    made = size_choice(size, "construction")
    construction = cast(Construction, made) if made in get_args(Construction) else None
    bush = Bush(
        outside_diameter=size_length(size, "outside_diameter"),
        bore=size_length(size, "bore"),
        length=size_length(size, "length"),
        flange_thickness=size_length(size, "flange_thickness"),
        flange_diameter=size_length(size, "flange_diameter"),
        material=MATERIAL_IN_WORDS.get((part.material or "").casefold()),
        construction=construction,
    )
    form = seat_word(position, "housing_bore_form")
    seat = BushSeat(
        bore=seat_length(position, "housing_bore"),
        depth=seat_length(position, "housing_depth"),
        form=cast(SeatForm, form) if form in get_args(SeatForm) else None,
        material=seat_word(position, "housing_material"),
        outside_diameter=seat_length(position, "housing_outside_diameter"),
    )
    return _judged(bush, seat, Journal(diameter=seat_length(position, "shaft_diameter")))


@lru_cache(maxsize=16384)
def _judged(bush: Bush, seat: BushSeat, shaft: Journal) -> tuple[Reason, ...]:
    """Judge once what many families share: the same bush in the same seat on the same shaft."""
    return judge_bushing(bush, seat, shaft).reasons
