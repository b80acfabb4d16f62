"""What one reading says: verdict, conformance probability, share of wear used, and by which limit. Pure."""

from typing import Final

import attrs

from api.inspection.bench_readings import BenchPlace, BenchReading, Piece, show
from api.inspection.conformance import (
    NEAR_SHARE,
    PROVEN,
    WORSENING,
    Conformance,
    conformance,
    resolves_wear,
    verdict_of,
)
from api.inspection.limit_data import LimitBook
from api.inspection.settle_limits import HeldLimit, SettledLimits, settle_limits
from api.inspection.vocabulary import LENGTH_OF, NUMBER_OF, Verdict

CLEARANCES: Final = ("bore", "journal_diameter")
"""What is judged by the clearance that it leaves."""

NO_CLEARANCE: Final = "the journal is thicker than the bore: they are not of one place, or one was misread"

NOT_FITTED: Final = 0.999
"""Probability of being longer than a size when new from which that size was not fitted (our judgement)."""

OPEN_NEW: Final = "the sizes listed differ when new: state the one that was fitted under new"

IN_WORDS: Final = {
    "good": "",
    "near_limit": ": near its limit",
    "renew": ": beyond its limit, renew",
    "cannot_tell": ": the reading cannot tell",
}


@attrs.frozen
class LimitSays:
    """One limit and what the reading is by it; nothing where it does not apply or nothing can be said."""

    limit: HeldLimit
    used: bool
    verdict: Verdict | None = None
    inside: float | None = None


@attrs.frozen(kw_only=True)
class JudgedFeature:
    """What a feature is: `inside` is the conformance probability by the used limit, None where none is.

    `piece` is the one that decides (from 0). `wear_share` is wear over wear allowed by the means, 0 or more;
    None for the reason in `no_share`.
    """

    reading: BenchReading
    verdict: Verdict
    reason: str
    inside: float | None = None
    piece: int = 0
    wear_share: float | None = None
    no_share: str | None = None
    limits: tuple[LimitSays, ...] = ()
    why_limit: str = ""


def judge_feature(book: LimitBook, place: BenchPlace, reading: BenchReading) -> JudgedFeature:
    """Return what a reading says; of several pieces the worst one decides."""
    if reading.choice is not None:
        return JudgedFeature(
            reading=reading,
            verdict=reading.choice.verdict,
            reason=f"{reading.choice.words} (judged by eye or hand; common practice, no source)",
            no_share="it is not measured",
        )
    variants = place.variants(reading.feature)
    fitted = _may_be_fitted(reading, variants)
    judged = [_judge_pieces(book, one, reading) for one in fitted]
    if len(judged) > 1:
        return _over_variants(place, judged)
    if len(variants) == 1:
        return judged[0]
    new = show(reading.feature, fitted[0].new[reading.feature].known.middle)
    reason = f"{judged[0].reason}; taken for the size of {new} when new: it is more than the others listed"
    return attrs.evolve(judged[0], reason=reason)


def _may_be_fitted(reading: BenchReading, variants: tuple[BenchPlace, ...]) -> tuple[BenchPlace, ...]:
    """Return the variants whose size when new is not less than what was read of it; all, where none is left.

    A bore says nothing of that: pressing closes it in.
    """
    feature = reading.feature
    if len(variants) == 1 or feature in CLEARANCES or not _shrinks(feature):
        return variants
    most = max(reading.pieces, key=lambda one: one.known.middle).known
    kept = [one for one in variants if most.minus(one.new[feature].known).chance_above(0.0) < NOT_FITTED]
    return tuple(kept) or variants


def _judge_pieces(book: LimitBook, place: BenchPlace, reading: BenchReading) -> JudgedFeature:
    settled = settle_limits(book, place, reading.feature)
    judged = [_judge_piece(place, reading, index, settled) for index in range(len(reading.pieces))]
    return max(judged, key=_badness)


def _over_variants(place: BenchPlace, judged: list[JudgedFeature]) -> JudgedFeature:
    """Return what holds whichever size was fitted: good or renew by every one, else it cannot be told."""
    worst = max(judged, key=_badness)
    verdicts = {one.verdict for one in judged}
    feature = worst.reading.feature
    options = place.open_new.get(feature) or place.open_new["bore"]
    told = ", ".join(show(feature, one.known.middle) for one in options)
    if verdicts in ({"good"}, {"renew"}):
        reason = f"{worst.reason}; the same by every size listed ({told} when new)"
        return attrs.evolve(worst, reason=reason, wear_share=None, no_share=OPEN_NEW)
    limits = dict.fromkeys(attrs.evolve(says, used=False) for one in judged for says in one.limits)
    return attrs.evolve(
        worst,
        verdict="cannot_tell",
        inside=None,
        reason=f"{show(feature, worst.reading.pieces[worst.piece].known.middle)}: the sizes listed differ "
        f"when new ({told}), and so do their limits",
        wear_share=None,
        no_share=OPEN_NEW,
        limits=tuple(limits),
        why_limit=OPEN_NEW,
    )


def _badness(judged: JudgedFeature) -> tuple[int, float, float]:
    """Order the pieces of a feature: by verdict, by chance, and where chances are 0 or 1 by how far worn."""
    chance = -1.0 if judged.inside is None else -judged.inside
    middle = judged.reading.pieces[judged.piece].known.middle
    return WORSENING.index(judged.verdict), chance, -middle if _shrinks(judged.reading.feature) else middle


def _judge_piece(
    place: BenchPlace, reading: BenchReading, index: int, settled: SettledLimits
) -> JudgedFeature:
    piece, feature = reading.pieces[index], reading.feature
    told = tuple(
        _by_limit(place, reading, piece, limit, used=limit is settled.used) for limit in settled.limits
    )
    used = next((one for one in told if one.used), None)
    impossible = settled.used is not None and no_clearance(reading, piece, settled.used)
    share, no_share = (None, NO_CLEARANCE) if impossible else _wear_share(place, feature, piece, settled.used)
    verdict: Verdict = used.verdict if used is not None and used.verdict is not None else "cannot_tell"
    return JudgedFeature(
        reading=reading,
        verdict=verdict,
        reason=_reason(reading, index, settled, verdict),
        inside=None if used is None else used.inside,
        piece=index,
        wear_share=share,
        no_share=no_share,
        limits=told,
        why_limit=settled.why,
    )


def _by_limit(
    place: BenchPlace, reading: BenchReading, piece: Piece, limit: HeldLimit, *, used: bool
) -> LimitSays:
    if not limit.applies:
        return LimitSays(limit, used)
    chances = _chances(piece, limit)
    if chances is None or no_clearance(reading, piece, limit):
        return LimitSays(limit, used, "cannot_tell")
    share, _ = _wear_share(place, reading.feature, piece, limit)
    near = share is not None and share >= NEAR_SHARE
    resolves = resolves_wear(limit.value(piece.known).deviation, _allowed(place, reading.feature, limit))
    return LimitSays(limit, used, verdict_of(chances, near=near, resolves=resolves), chances.inside)


def no_clearance(reading: BenchReading, piece: Piece, limit: HeldLimit) -> bool:
    """Return whether a journal is proven thicker than the bore that it is held against."""
    clearance = reading.feature in CLEARANCES and limit.partner is not None and not piece.above
    return clearance and limit.value(piece.known).chance_below(0.0) >= PROVEN


def _chances(piece: Piece, limit: HeldLimit) -> Conformance | None:
    """Return the chances; of a value known only to be above what the meter shows, as far as they are sure."""
    if not piece.above:
        return conformance(limit.value(piece.known), limit.least, limit.most)
    least = piece.known.middle
    if limit.most is not None:
        return Conformance(0.0, 0.0, 1.0) if least > limit.most else None
    return Conformance(1.0, 0.0, 0.0) if limit.least is not None and least >= limit.least else None


def _from_nothing(feature: str) -> bool:
    return (LENGTH_OF[feature] if feature in LENGTH_OF else NUMBER_OF[feature]).from_nothing


def _shrinks(feature: str) -> bool:
    return (LENGTH_OF[feature] if feature in LENGTH_OF else NUMBER_OF[feature]).sense == "shrinks"


def _start(place: BenchPlace, feature: str) -> float | None:
    """Return the value from which a feature wears: when new, or nothing; None where it is not known."""
    new = place.new.get(feature)
    if new is not None:
        return new.known.middle
    return 0.0 if _from_nothing(feature) else None


def _allowed(place: BenchPlace, feature: str, limit: HeldLimit) -> float:
    """Return the wear allowed; where the start is not known the limit itself, which it can hardly exceed."""
    threshold = limit.threshold or 0.0
    start = _start(place, feature)
    return abs(threshold) if start is None else abs(threshold - start)


def _wear_share(
    place: BenchPlace, feature: str, piece: Piece, limit: HeldLimit | None
) -> tuple[float | None, str | None]:
    if limit is None or limit.threshold is None:
        return None, "there is no limit to wear to"
    if piece.above:
        return None, "the meter was over its range"
    start = _start(place, feature)
    if start is None:
        return None, "its value when new is not known"
    shrinks = _shrinks(feature)
    allowed = start - limit.threshold if shrinks else limit.threshold - start
    if allowed <= 0:
        return None, "the limit lies on the wrong side of the value when new"
    worn = start - piece.known.middle if shrinks else piece.known.middle - start
    return max(0.0, worn / allowed), None


def _reason(reading: BenchReading, index: int, settled: SettledLimits, verdict: Verdict) -> str:
    feature, piece = reading.feature, reading.pieces[index]
    which = f"piece {index + 1} of {len(reading.pieces)}: " if len(reading.pieces) > 1 else ""
    value = f"above {show(feature, piece.known.middle)}" if piece.above else show(feature, piece.known.middle)
    told = f"{which}{value}"
    if reading.diameters > 1:
        told += f", the worst of {reading.diameters} diameters"
    elif reading.repeats_disagree:
        told += ", of repeats that differ by more than the instrument explains"
    limit = settled.used
    if limit is None:
        return f"{told}: no limit to judge it by ({settled.why})"
    if limit.partner is not None and not piece.above:
        kind = "clearance" if feature in CLEARANCES else "worn by"
        told += f", {kind} {show(feature, limit.value(piece.known).middle)}"
    if no_clearance(reading, piece, limit):
        return f"{told}: {NO_CLEARANCE}"
    return f"{told}, {limit.words} ({limit.source}){IN_WORDS[verdict]}"
