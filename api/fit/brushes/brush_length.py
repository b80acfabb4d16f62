"""How short a brush may get: discard lengths by source, and what is left above them. Pure.

The sources disagree. The US Navy's manual on electric machines discards at 40 % of the new length; service
data of starters discard at about two thirds (new 15.0 to 15.5 mm: 10.0 mm; new 17 mm: 11.5 mm). The longer
one is taken: a starter's spring loses force with the length and its lead runs out of slack, and the service
data are of starters (our judgement). Where the maker's manual states a length, that one counts.
"""

from typing import Final

import attrs

from api.fit.judging.features import Feature
from api.fit.judging.gaps import at_least, bound_figures, figure_mm, mm, span
from api.fit.judging.reasons import Figure, Reason

NAVY_SHARE: Final = 0.40
NAVY_SOURCE: Final = "US Navy NAVEDTRA 14120: 40 % of the new length"
SERVICE_ROWS: Final = (
    (15_000_000, 15_500_000, 10_000_000),
    (17_000_000, 17_000_000, 11_500_000),
)
"""Service data of starters: new length from and to, discard length, in nm (two makers, at second hand)."""

SERVICE_SOURCE: Final = "service data of starters of that new length"
SERVICE_SHARE: Final = 11.5 / 17
SCALED_SOURCE: Final = "service data of starters (11.5 of 17 mm) scaled to the new length: our judgement"
STATED_SOURCE: Final = "as stated"


@attrs.frozen
class DiscardLength:
    """A length (nm) at which a brush is to be renewed, and who says so."""

    nm: int
    source: str


def discard_lengths(new_length: Feature) -> tuple[DiscardLength, ...]:
    """Return the discard length of every source for a brush of this length when new."""
    new_nm = new_length.middle_nm
    lengths = [DiscardLength(round(NAVY_SHARE * new_nm), NAVY_SOURCE)]
    for lower, upper, discard in SERVICE_ROWS:
        if lower <= new_nm <= upper:
            lengths.append(DiscardLength(discard, SERVICE_SOURCE))
    if len(lengths) == 1:
        lengths.append(DiscardLength(round(SERVICE_SHARE * new_nm), SCALED_SOURCE))
    return tuple(lengths)


def strictest(lengths: tuple[DiscardLength, ...]) -> DiscardLength:
    """Return the longest of discard lengths (one at least): the brush is renewed the soonest."""
    return max(lengths, key=lambda one: one.nm)


def judge_length(
    length: Feature | None, new_length: Feature | None = None, stated_discard_nm: int | None = None
) -> Reason:
    """Return whether a worn brush is surely longer than its discard length.

    A stated discard length counts alone; else the strictest of the published ones for the new length; with
    neither the answer is `unknown`.
    """
    if length is None:
        return Reason("length", "unknown", "the length of the brush is not stated")
    if stated_discard_nm is not None:
        lengths: tuple[DiscardLength, ...] = (DiscardLength(stated_discard_nm, STATED_SOURCE),)
    elif new_length is not None:
        lengths = discard_lengths(new_length)
    else:
        return Reason("length", "unknown", "neither the length when new nor a discard length is stated")
    limit = strictest(lengths)
    bounds = length.bounds_nm()
    verdict = at_least(bounds, limit.nm)
    left = bounds[0] - limit.nm, bounds[1] - limit.nm
    figures = (
        figure_mm("discard_length", limit.nm),
        *bound_figures("length_left", left),
        *_share_left(length, new_length, limit),
    )
    ending = {"does_not_fit": ": renew", "unknown": ": too near the limit to tell"}.get(verdict, "")
    others = "; ".join(f"{mm(one.nm)} by {one.source}" for one in lengths if one is not limit)
    text = f"{span(bounds)} long, discarded at {mm(limit.nm)} ({limit.source}){ending}"
    if others:
        text += f". Another source: {others}; the stricter one is taken"
    return Reason("length", verdict, text, figures=figures)


def _share_left(length: Feature, new: Feature | None, limit: DiscardLength) -> tuple[Figure, ...]:
    """Return which share of the wearable length is left, by the means."""
    if new is None or new.middle_nm <= limit.nm:
        return ()
    share = (length.middle_nm - limit.nm) / (new.middle_nm - limit.nm)
    return (Figure("share_of_wear_left", share),)
