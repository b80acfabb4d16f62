"""Which limits hold for a reading, and which is used: the caller's, the family's, or the strictest. Pure."""

from collections.abc import Iterator
from typing import Final, Literal

import attrs

from api.inspection.bench_readings import BenchPlace, OwnLimit, WhenNew, show
from api.inspection.conformance import Known
from api.inspection.limit_data import Basis, LimitBook, LimitRow
from api.inspection.vocabulary import LENGTH_OF, NUMBER_OF, Sense

Whose = Literal["stated", "family", "published"]

OTHER_SIZE: Final = "the limit is for pieces that when new have "
STATED: Final = "as stated by the caller"


@attrs.frozen(kw_only=True)
class HeldLimit:
    """One limit as it holds for one reading.

    `least` and `most` bound the value that is judged: the reading itself, or its difference from `partner`
    (the piece when new, or the journal): `partner` less the reading where `turned`. `threshold` is the
    same limit as a value of the reading, on the side to which it wears; None where it `applies` not, as
    `why_not` tells.
    """

    whose: Whose
    source: str
    basis: Basis | Literal["stated", "family"]
    words: str
    least: float | None = None
    most: float | None = None
    partner: Known | None = None
    turned: bool = False
    threshold: float | None = None
    shown_only: bool = False
    why_not: str | None = None

    @property
    def applies(self) -> bool:
        """Whether it holds for this piece."""
        return self.why_not is None

    def value(self, reading: Known) -> Known:
        """Return the value that the limit bounds."""
        if self.partner is None:
            return reading
        return self.partner.minus(reading) if self.turned else reading.minus(self.partner)


@attrs.frozen
class SettledLimits:
    """Every limit found for a reading, the used one (None: none applies), and why it is used."""

    limits: tuple[HeldLimit, ...]
    used: HeldLimit | None
    why: str


def settle_limits(book: LimitBook, place: BenchPlace, feature: str) -> SettledLimits:
    """Return the limits of a feature at a place.

    The caller's own comes first, then the family's own, then the strictest published one that applies.
    """
    own = (("stated", place.stated.get(feature)), ("family", place.family.get(feature)))
    held = [
        _own_limit("stated" if whose == "stated" else "family", feature, limit)
        for whose, limit in own
        if limit is not None
    ]
    held.extend(_published(book, place, feature))
    limits = tuple(held)
    usable = [one for one in limits if one.applies and not one.shown_only]
    if not usable:
        return SettledLimits(limits, None, _why_none(limits))
    first = usable[0]
    if first.whose == "stated":
        return SettledLimits(limits, first, "the caller's own limit comes first")
    if first.whose == "family":
        return SettledLimits(limits, first, "the family's own comes before other published limits")
    if len(usable) == 1:
        beside = any(one.applies and one.shown_only for one in limits)
        why = "the only one that applies" + (", others are shown for comparison" if beside else "")
        return SettledLimits(limits, first, why)
    sense = _sense(feature)
    strictest = max(usable, key=lambda one: _strictness(one, sense))
    return SettledLimits(
        limits, strictest, f"the strictest of {len(usable)} that apply; the sources disagree"
    )


def _strictness(limit: HeldLimit, sense: Sense) -> float:
    threshold = limit.threshold if limit.threshold is not None else 0.0
    return threshold if sense == "shrinks" else -threshold


def _sense(feature: str) -> Sense:
    return LENGTH_OF[feature].sense if feature in LENGTH_OF else NUMBER_OF[feature].sense


def _why_none(limits: tuple[HeldLimit, ...]) -> str:
    if any(one.shown_only and one.applies for one in limits):
        return "the limits known are of other machines, for comparison only"
    told = list(dict.fromkeys(one.why_not for one in limits if one.why_not is not None))
    sizes = [one.removeprefix(OTHER_SIZE) for one in told if one.startswith(OTHER_SIZE)]
    others = [one for one in told if not one.startswith(OTHER_SIZE)]
    if sizes:
        others.append(OTHER_SIZE + " or ".join(sizes))
    return "; ".join(others) or "no source was found for a limit"


def _bounds_words(feature: str, least: float | None, most: float | None) -> str:
    parts = []
    if least is not None:
        parts.append(f"at least {show(feature, least)}")
    if most is not None:
        parts.append(f"at most {show(feature, most)}")
    return ", ".join(parts)


def _side(feature: str, least: float | None, most: float | None) -> float | None:
    """Return the bound on the side to which a feature wears, else the other."""
    first, second = (least, most) if _sense(feature) == "shrinks" else (most, least)
    return second if first is None else first


def _own_limit(whose: Literal["stated", "family"], feature: str, limit: OwnLimit) -> HeldLimit:
    return HeldLimit(
        whose=whose,
        source=limit.source,
        basis=whose,
        words=_bounds_words(feature, limit.least, limit.most),
        least=limit.least,
        most=limit.most,
        threshold=_side(feature, limit.least, limit.most),
    )


def _published(book: LimitBook, place: BenchPlace, feature: str) -> Iterator[HeldLimit]:
    for row in book.of(place.place, feature):
        yield _Row(row, place).held()


class _Row:
    """One row of the data file beside what is known of the piece."""

    def __init__(self, row: LimitRow, place: BenchPlace) -> None:
        self.row, self.place = row, place
        self.new: WhenNew | None = place.new.get(row.feature)

    def held(self) -> HeldLimit:
        row = self.row
        plain = HeldLimit(
            whose="published",
            source=row.source,
            basis=row.basis,
            words=self._words(),
            shown_only=row.shown_only,
            why_not=self._why_not(),
        )
        if not plain.applies:
            return plain
        if row.most_clearance is not None:
            return self._clearance(plain, row.most_clearance)
        if self.new is not None and row.most_wear is not None:
            new, turned = self.new.known, _sense(row.feature) == "shrinks"
            threshold = new.middle - row.most_wear if turned else new.middle + row.most_wear
            return attrs.evolve(plain, most=row.most_wear, partner=new, turned=turned, threshold=threshold)
        if self.new is not None and row.least_share_of_new is not None:
            least = row.least_share_of_new * self.new.known.middle
            words = f"{plain.words}: at least {show(row.feature, least)}"
            return attrs.evolve(plain, least=least, threshold=least, words=words)
        side = _side(row.feature, row.least, row.most)
        return attrs.evolve(plain, least=row.least, most=row.most, threshold=side)

    def _words(self) -> str:
        row = self.row
        if row.most_wear is not None:
            return f"worn by at most {show(row.feature, row.most_wear)}"
        if row.least_share_of_new is not None:
            return f"at least {100 * row.least_share_of_new:.0f} % of the length when new"
        if row.most_clearance is not None:
            return f"clearance at most {show(row.feature, row.most_clearance)}"
        return _bounds_words(row.feature, row.least, row.most)

    def _why_not(self) -> str | None:
        row = self.row
        if row.most_clearance is not None:
            return self._no_partner()
        needs_new = (
            row.when_new is not None or row.most_wear is not None or row.least_share_of_new is not None
        )
        if needs_new and self.new is None:
            return "its value when new is not known: state it under new"
        if row.when_new is not None and self.new is not None:
            lower, upper = row.when_new
            if not lower <= self.new.known.middle <= upper:
                ends = f"{show(row.feature, lower).removesuffix(' mm')}..{show(row.feature, upper)}"
                return f"{OTHER_SIZE}{ends}"
        return None

    def _partner(self) -> Known | None:
        """Return the other half of the clearance: of a bore its journal, of a journal a new bore."""
        if self.row.feature == "journal_diameter":
            new = self.place.new.get("bore")
            return None if new is None else new.known
        journal = self.place.reading("journal_diameter")
        if journal is not None and journal.pieces:
            return journal.pieces[0].known
        new = self.place.new.get("journal_diameter")
        return None if new is None else new.known

    def _no_partner(self) -> str | None:
        if self._partner() is not None:
            return None
        if self.row.feature == "journal_diameter":
            return "the bore of a new bush is not known: state it under new"
        return "the journal is neither read nor known: read journal_diameter"

    def _clearance(self, plain: HeldLimit, most: float) -> HeldLimit:
        partner = self._partner()
        if partner is None:
            return plain
        turned = self.row.feature == "journal_diameter"
        threshold = partner.middle - most if turned else partner.middle + most
        return attrs.evolve(plain, most=most, partner=partner, turned=turned, threshold=threshold)
