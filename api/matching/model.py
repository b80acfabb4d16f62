"""The numbers of the matching model for one kind of wear part, as frozen values filled from data.

Every figure here is published with its origin; an answer names the model's version, so anyone can
compute it again.
"""

import math
from collections.abc import Iterator
from typing import Literal

import attrs

from api.errors import FieldFault, InvalidInput

Measure = Literal["length", "count", "choice"]
How = Literal["outside", "inside", "depth", "span", "count", "look"]
WearSense = Literal["grows", "shrinks", "none"]

AGREES_WITHIN = 2.0
"""Standard uncertainties from the tolerance interval up to which a reading agrees (GUM: about 95 %)."""

WORN_WITHIN = 4.0
"""Mean wear scales up to which wear is believed: beyond it lie 1.8 % of worn parts (our judgement)."""


@attrs.frozen(kw_only=True)
class DimensionModel:
    """What the model knows of one dimension of a kind.

    `wear_scale_nm` is the mean wear (exponential) and is positive exactly where `wear_sense` is not
    `none`. A length (nm) or a count (pieces) is plausible from `span_lower` to `span_upper`, both included;
    a choice is one of `choices` and has no span. `slip_chance` is the chance that a
    reading has nothing to do with the part, `miscount_chance` that a count or choice is not the true
    one. `two_point_over` names the count (teeth) at whose odd values a reading between two opposite
    faces is low. A reading agrees within `agrees_within` standard uncertainties of the tolerance
    interval; wear is believed up to `worn_within` wear scales beyond that. Raises `InvalidInput`.
    """

    code: str
    measure: Measure
    how: How
    wear_sense: WearSense = "none"
    wear_scale_nm: float = 0.0
    span_lower: int = 0
    span_upper: int = 0
    choices: tuple[str, ...] = ()
    slip_chance: float = 0.02
    miscount_chance: float = 0.02
    two_point_over: str | None = None
    agrees_within: float = AGREES_WITHIN
    worn_within: float = WORN_WITHIN

    def __attrs_post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise InvalidInput(faults)

    def _faults(self) -> Iterator[FieldFault]:
        checks = [
            ("slip_chance", 0 < self.slip_chance < 1, "a chance above 0 and below 1"),
            ("agrees_within", 0 < self.agrees_within < math.inf, "a positive number"),
            ("worn_within", 0 < self.worn_within < math.inf, "a positive number"),
        ]
        if self.measure == "length":
            worn = self.wear_sense != "none"
            positive = 0 < self.wear_scale_nm < math.inf
            checks.append(("span_upper", 0 <= self.span_lower < self.span_upper, "a span above 0"))
            checks.append(
                (
                    "wear_scale_nm",
                    positive if worn else self.wear_scale_nm == 0,
                    "a scale exactly where it wears",
                )
            )
        else:
            checks.append(("miscount_chance", 0 < self.miscount_chance < 1, "a chance above 0 and below 1"))
            checks.append(("wear_sense", self.wear_sense == "none", "no wear of what is not a length"))
        if self.measure == "count":
            checks.append(("span_upper", 0 <= self.span_lower <= self.span_upper, "a range of counts"))
        if self.measure == "choice":
            distinct = len(self.choices) > 0 and len(set(self.choices)) == len(self.choices)
            checks.append(("choices", distinct, "one or more choices, each once"))
        for field, holds, expected in checks:
            if not holds:
                yield FieldFault((self.code, field), str(getattr(self, field)), expected, "impossible_model")

    @property
    def span_nm(self) -> int:
        """Return R, the width of the plausible span of a length, in nm."""
        return self.span_upper - self.span_lower

    @property
    def outcomes(self) -> int:
        """Return how many different values a count or a choice may take."""
        return len(self.choices) if self.measure == "choice" else self.span_upper - self.span_lower + 1

    @property
    def log_even(self) -> float:
        """Return the log density of a reading that tells nothing: 1/R per nm, or 1 over the outcomes."""
        return -math.log(self.span_nm if self.measure == "length" else self.outcomes)


@attrs.frozen(kw_only=True)
class KindModel:
    """The model of one kind: its dimensions in their published order, and the prior of `unlisted`.

    `unlisted_prior` is the chance, before any reading, that the catalogue does not hold the part.
    Raises `InvalidInput` for a prior outside 0 to 1, no dimension, one named twice, or a two-point
    dimension that points to no count.
    """

    kind: str
    dimensions: tuple[DimensionModel, ...]
    unlisted_prior: float = 0.05
    version: str = "1"

    def __attrs_post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise InvalidInput(faults)

    def _faults(self) -> Iterator[FieldFault]:
        if not 0 < self.unlisted_prior < 1:
            value = str(self.unlisted_prior)
            yield FieldFault(
                (self.kind, "unlisted_prior"), value, "a chance above 0 and below 1", "impossible_model"
            )
        if not self.dimensions:
            yield FieldFault((self.kind, "dimensions"), "none", "one dimension or more", "impossible_model")
        seen: set[str] = set()
        counts = {one.code for one in self.dimensions if one.measure == "count"}
        for one in self.dimensions:
            if one.code in seen:
                yield FieldFault(
                    (self.kind, "dimensions"), one.code, "each dimension once", "impossible_model"
                )
            seen.add(one.code)
            if one.two_point_over is not None and one.two_point_over not in counts:
                path = (self.kind, one.code, "two_point_over")
                yield FieldFault(path, one.two_point_over, "a count of this kind", "impossible_model")

    def dimension(self, code: str) -> DimensionModel:
        """Return the dimension of that code; raises `KeyError` where the kind has none."""
        for one in self.dimensions:
            if one.code == code:
                return one
        raise KeyError(code)
