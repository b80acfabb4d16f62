"""Whether what is stated over months can be compared: every fault with its place in the request. Pure."""

from api.comparison.costs_now.figures import ComparisonFigures
from api.comparison.months.over_months import MOST_KEEP_MONTHS, OverMonths, RemainderWear, WearShare
from api.errors import FieldFault, InvalidInput, shown
from api.measurement.refusals import nearest_name


def check_over_months(figures: ComparisonFigures, months: OverMonths) -> None:
    """Refuse figures that no comparison over months can be made of; single values are in their ranges.

    Raises `InvalidInput` naming all at once: a remainder that has failed, a remainder without a replacement
    to meet its failure, a group that names what is no position, a number of months that is none.
    """
    faults = [*_remainder(figures, months.remainder), *_groups(figures, months), *_numbers(months)]
    if faults:
        raise InvalidInput.of(faults)


def _remainder(figures: ComparisonFigures, remainder: RemainderWear | None) -> list[FieldFault]:
    if remainder is None:
        return []
    faults = []
    if isinstance(remainder.age, WearShare) and remainder.age.share >= 1:
        expected = "a share below 1: no wear part mends a remainder that has failed"
        value = f"{remainder.age.share:g}"
        faults.append(FieldFault(("remainder", "wear_share"), value, expected, "remainder_failed"))
    if not figures.replacements:
        expected = "one replacement at least: with one a failure of the remainder would be met"
        faults.append(FieldFault(("replacements",), "", expected, "no_replacement"))
    return faults


def _groups(figures: ComparisonFigures, months: OverMonths) -> list[FieldFault]:
    names = [each.position for each in figures.positions]
    expected = "one of the positions of this comparison: " + ", ".join(names)
    return [
        FieldFault(
            ("renew_together", place, inner),
            shown(name),
            shown(expected),
            "unknown_position",
            nearest_name(name, names),
        )
        for place, group in enumerate(months.renew_together)
        for inner, name in enumerate(group)
        if name not in names
    ]


def _numbers(months: OverMonths) -> list[FieldFault]:
    faults = []
    if not 1 <= months.keep_months <= MOST_KEEP_MONTHS:
        expected = f"1 to {MOST_KEEP_MONTHS:g} months"
        faults.append(FieldFault(("keep_months",), f"{months.keep_months:g}", expected, "out_of_range"))
    if not months.starts_per_month > 0:
        value = f"{months.starts_per_month:g}"
        faults.append(FieldFault(("starts_per_month",), value, "a number above 0", "out_of_range"))
    return faults
