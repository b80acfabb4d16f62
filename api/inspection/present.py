"""An inspection in its wire shape."""

from collections.abc import Sequence
from typing import Any, Final, cast

from api.fit.reason_shapes import caution_answers
from api.inspection.answer_shapes import (
    InspectedPosition,
    InspectionAnswer,
    InspectionLimit,
    InspectionMethod,
    InspectionReading,
    RootCauseAnswer,
)
from api.inspection.bench_readings import BenchReading, figure
from api.inspection.cautions import AT, cautions_of
from api.inspection.conformance import LEAST_CAPABILITY, NEAR_SHARE, PROVEN
from api.inspection.family_values import KnownFamily
from api.inspection.inspect_starter import CheckedFeature, InspectedPlace
from api.inspection.judge_feature import LimitSays
from api.inspection.shapes import PlaceName

METHOD: Final = InspectionMethod(
    rule="Inside its limit with at least proven_probability: good, or near_limit once near_share of the wear "
    "allowed is used. Beyond one limit with at least proven_probability: renew. Between: near_limit where "
    "the "
    "wear allowed is at least least_capability times four standard uncertainties, else cannot_tell; so too "
    "where there is no limit. The limit used is the caller's, else the family's, else the strictest that "
    "applies.",
    proven_probability=PROVEN,
    near_share=NEAR_SHARE,
    least_capability=LEAST_CAPABILITY,
    origin="JCGM 106:2012, clause 7 (conformance probability); ISO 14253-1 (neither proven within the "
    "uncertainty), its 95 % from memory; near_share and least_capability: our judgement",
)


def inspection_answer(places: Sequence[InspectedPlace], known: KnownFamily | None) -> InspectionAnswer:
    """Give an inspection its wire shape."""
    told = [one.place for one in places]
    has = [] if known is None else [one.code for one in known.family.positions]
    features = [feature.judged.reading.feature for place in places for feature in place.features]
    return InspectionAnswer(
        family=None if known is None else known.family.code,
        method=METHOD,
        positions=[_position(place) for place in places],
        not_inspected=[cast(PlaceName, code) for code in has if code not in told],
        cautions=caution_answers(cautions_of(told, features)),
    )


def _position(place: InspectedPlace) -> InspectedPosition:
    return InspectedPosition(
        position=cast(PlaceName, place.place),
        verdict=place.verdict,
        probability_inside=place.inside,
        wear_used_share=place.wear,
        limiting=place.limiting,
        readings=[_reading(one) for one in place.features],
        not_read=list(place.unread),
        root_causes=[
            RootCauseAnswer(
                code=one.code, cause=one.cause, check=one.check, cautions=caution_answers(one.cautions)
            )
            for one in place.causes
        ],
        caution=caution_answers([AT[place.place]])[0],
    )


def _reading(checked: CheckedFeature) -> InspectionReading:
    judged = checked.judged
    reading = judged.reading
    return InspectionReading(
        feature=reading.feature,
        verdict=judged.verdict,
        reason=judged.reason,
        **_value(reading, judged.piece),
        found=None if reading.choice is None else reading.choice.code,
        pieces=len(reading.pieces),
        probability_inside=judged.inside,
        wear_used_share=judged.wear_share,
        no_wear_share=judged.no_share,
        why_limit=judged.why_limit,
        limits=[_limit(reading.feature, one) for one in judged.limits],
        further_check=checked.further_check,
    )


def _value(reading: BenchReading, index: int) -> dict[str, Any]:
    if not reading.pieces:
        return {"value": None, "standard_uncertainty": None}
    piece = reading.pieces[index]
    u = None if piece.above else figure(reading.feature, piece.known.deviation)
    return {"value": figure(reading.feature, piece.known.middle), "standard_uncertainty": u}


def _limit(feature: str, says: LimitSays) -> InspectionLimit:
    limit = says.limit
    return InspectionLimit(
        text=limit.words,
        least=None if limit.least is None else figure(feature, limit.least),
        most=None if limit.most is None else figure(feature, limit.most),
        basis=limit.basis,
        source=limit.source,
        used=says.used,
        shown_only=limit.shown_only,
        not_applicable=limit.why_not,
        verdict=says.verdict,
        probability_inside=says.inside,
    )
