"""Turn the members of a request that a comparison over months adds into stated values."""

from collections.abc import Iterator, Sequence

from api.comparison.costs_now.figures import Assumption, Replacement
from api.comparison.months.over_months import (
    Age,
    AgeUnknown,
    KnownAge,
    LifeInStarts,
    WearShare,
    counts_as_failed,
)
from api.comparison.requests.months_members import (
    LifeRequest,
    PositionOfFamilyOverMonthsRequest,
    PositionOverMonthsRequest,
    RemainderOfFamilyRequest,
    RemainderRequest,
    ReplacementOfFamilyOverMonthsRequest,
    ReplacementOverMonthsRequest,
)
from api.comparison.requests.shapes import ComparisonOverMonthsByFigures, OverMonthsRequest
from api.comparison.requests.stated_months import StatedMonths, StatedWear
from api.money.amounts import Money
from api.money.fractions import parse_fraction

NOT_STATED = "not stated in the request; its default"
"""Origin of a default of the request."""

PositionOverMonths = PositionOverMonthsRequest | PositionOfFamilyOverMonthsRequest
ReplacementOverMonths = ReplacementOverMonthsRequest | ReplacementOfFamilyOverMonthsRequest
Aged = PositionOverMonths | RemainderRequest | RemainderOfFamilyRequest


def read_months(
    request: OverMonthsRequest, incident_cost: Money | None, replacements: Sequence[Replacement]
) -> StatedMonths:
    """Return what a request states over the months; `replacements` are those read from it, in order."""
    rate = request.discount_rate_per_year
    groups = request.renew_together
    told = [_replacement(each) for each in request.replacements or ()]
    return StatedMonths(
        keep_months=request.keep_months,
        starts_per_month=request.starts_per_month,
        discount_rate_per_year=None if rate is None else float(parse_fraction(rate)),
        incident_cost=incident_cost,
        positions={each.position: _position(each) for each in request.positions},
        replacements=dict(zip((read.id for read in replacements), told, strict=True)),
        remainder=_remainder(request.remainder),
        renew_together=None if groups is None else tuple(map(tuple, groups)),
    )


def has_failed(position: object) -> bool:
    """Return whether a position of a request counts as failed: as stated, or by its wear share."""
    failed = bool(getattr(position, "failed", False))
    share = getattr(position, "wear_share", None)
    return failed or (share is not None and counts_as_failed(False, WearShare(share)))


def defaults_over_months(request: OverMonthsRequest) -> Iterator[Assumption]:
    """Yield the defaults that stood in."""
    by_figures = isinstance(request, ComparisonOverMonthsByFigures)
    priced = [each for each in request.positions if each.part_cost is not None]
    entries = [*priced, *(request.replacements or ())]
    if any("warranty_months" not in each.model_fields_set for each in entries):
        yield Assumption(
            "warranty_months", "0 where not stated, for parts and starters of stated price", NOT_STATED
        )
    covered = [each for each in entries if each.warranty_months]
    if any("warranty_covers_labour" not in each.model_fields_set for each in covered):
        yield Assumption("warranty_covers_labour", "false where not stated", NOT_STATED)
    if by_figures and "renew_together" not in request.model_fields_set:
        yield Assumption("renew_together", "every position by itself", NOT_STATED)
    if by_figures and request.remainder is None:
        value = "left out: under repair nothing fails but the positions"
        yield Assumption("remainder", value, NOT_STATED)


def _life(request: LifeRequest | None) -> LifeInStarts | None:
    return None if request is None else LifeInStarts(request.shape, request.scale_starts)


def _age(request: Aged) -> Age | None:
    if request.age_starts is not None:
        return KnownAge(request.age_starts)
    if request.wear_share is not None:
        return WearShare(request.wear_share)
    return AgeUnknown() if request.age_unknown else None


def _position(request: PositionOverMonths) -> StatedWear:
    return StatedWear(
        life=_life(request.life),
        age=_age(request),
        warranty_months=request.warranty_months,
        warranty_covers_labour=request.warranty_covers_labour,
    )


def _remainder(request: RemainderRequest | RemainderOfFamilyRequest | None) -> StatedWear | None:
    return None if request is None else StatedWear(life=_life(request.life), age=_age(request))


def _replacement(request: ReplacementOverMonths) -> StatedWear:
    return StatedWear(
        life=_life(request.life),
        warranty_months=request.warranty_months,
        warranty_covers_labour=request.warranty_covers_labour,
    )
