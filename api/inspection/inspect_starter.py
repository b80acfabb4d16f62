"""All places of one stripped starter judged together: verdicts, further checks, root causes. Pure."""

import math
from collections.abc import Sequence

import attrs

from api.inspection.bench_readings import BenchPlace
from api.inspection.conformance import WORSENING, worst
from api.inspection.further_checks import next_check, unread
from api.inspection.judge_feature import JudgedFeature, judge_feature
from api.inspection.limit_data import LimitBook
from api.inspection.root_causes import RootCause, causes_at
from api.inspection.vocabulary import Verdict


@attrs.frozen
class CheckedFeature:
    """A judged feature and what to check next, where there is something."""

    judged: JudgedFeature
    further_check: str | None


@attrs.frozen(kw_only=True)
class InspectedPlace:
    """What one place is: the worst of its features decides.

    `inside` is the chance that every measured feature with a limit lies inside it, taken as independent;
    None where none was judged so. `wear` is the greatest share of the wear allowed that a feature has used,
    None where no share is told. `limiting` is the feature that decides, None where nothing was read.
    """

    place: str
    verdict: Verdict
    inside: float | None
    wear: float | None
    limiting: str | None
    features: tuple[CheckedFeature, ...]
    unread: tuple[str, ...]
    causes: tuple[RootCause, ...]


def inspect_starter(
    book: LimitBook, places: Sequence[BenchPlace], field: str | None = None
) -> tuple[InspectedPlace, ...]:
    """Return the verdict of every place, in the order given; `field` is the family's, where known."""
    judged = {
        place.place: tuple(judge_feature(book, place, reading) for reading in place.readings)
        for place in places
    }
    findings = [(code, one) for code, features in judged.items() for one in features]
    return tuple(
        _inspected(place, judged[place.place], field, causes_at(place.place, findings)) for place in places
    )


def _inspected(
    place: BenchPlace,
    judged: tuple[JudgedFeature, ...],
    field: str | None,
    causes: tuple[RootCause, ...],
) -> InspectedPlace:
    chances = [one.inside for one in judged if one.inside is not None]
    limiting = max(judged, key=_badness, default=None)
    return InspectedPlace(
        place=place.place,
        verdict=worst(tuple(one.verdict for one in judged)),
        inside=math.prod(chances) if chances else None,
        wear=max((one.wear_share for one in judged if one.wear_share is not None), default=None),
        limiting=None if limiting is None else limiting.reading.feature,
        features=tuple(CheckedFeature(one, next_check(one)) for one in judged),
        unread=unread(place, field),
        causes=causes,
    )


def _badness(judged: JudgedFeature) -> tuple[int, float, str]:
    chance = -1.0 if judged.inside is None else -judged.inside
    return WORSENING.index(judged.verdict), chance, judged.reading.feature
