"""Why an option is recommended over the months, on which assumptions, in plain words with figures. Pure."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from api.comparison.costs_now.compare import MODEL, assumptions_of_costs_now
from api.comparison.costs_now.figures import Assumption
from api.comparison.months.break_evens import BreakEven
from api.comparison.months.compare_months import ComparisonOverMonths, OptionOverMonths, WorthOfUnit
from api.comparison.months.over_months import WearShare
from api.comparison.months.sensitivity import SWING
from api.money.amounts import Money, round_half_away

LIMIT_OF_EXPECTATIONS = (
    "These are expectations from the stated lives and ages: what comes may differ widely. Follow the maker's "
    "service manual, and have the work done by a licensed repairer where local rules ask for one."
)
"""The last reason of every recommendation over months."""

MOST_UNITS_LEFT = 3
"""How many of the positions that are not worth renewing are explained, the nearest first."""


def explain_over_months(compared: ComparisonOverMonths) -> tuple[str, ...]:
    """Return the reasons for the recommended option, the deciding one first."""
    repair, *replacements = compared.options
    reasons = [_totals(compared, repair, replacements)]
    reasons += _at_the_counter(compared.recommended)
    reasons += _units(compared.free_units)
    if replacements:
        best = best_replacement(replacements)
        reasons += _break_evens(compared, best, compared.break_even[best.option.id])
    reasons += _greatest_swing(compared)
    return (*reasons, LIMIT_OF_EXPECTATIONS)


def best_replacement(replacements: Sequence[OptionOverMonths]) -> OptionOverMonths:
    """Return the replacement that costs least in all (one at least); a tie goes to the lower cost now."""
    return min(replacements, key=lambda each: (each.expected_total.minor, each.option.cost_now.total.minor))


def assumptions_over_months(compared: ComparisonOverMonths) -> tuple[Assumption, ...]:
    """Return what the caller did not state, and what the model takes for granted."""
    made = [
        Assumption(
            "later failures", "positions fail independently; each failure renews that position only", MODEL
        ),
        Assumption(
            "change of mind",
            "a repaired starter is repaired again, never replaced, but for its remainder; a replacement is "
            "replaced by the same again: this weighs against repair",
            MODEL,
        ),
        Assumption(
            "warranty",
            "from today, on what is bought today; what is bought later brings none",
            MODEL,
        ),
        Assumption("prices", "later ones as today's; no consumables at later failures", MODEL),
        Assumption("discounting", "by (1 + discount_rate_per_year) ^ (-months / 12)", MODEL),
    ]
    wear = compared.months.positions
    shares = [name for name, each in wear.items() if isinstance(each.age, WearShare)]
    if shares:
        named = ", ".join(map(_plain, shares))
        text = f"wear share times the mean life: {named}; at 1 or more it counts as failed"
        made.append(Assumption("age", text, MODEL))
    if any(len(each.together_with) > 0 for each in compared.worth_renewing):
        text = "groups that share a position are renewed as one"
        made.append(Assumption("renew_together", text, MODEL))
    options = tuple(each.option for each in compared.options)
    return (*compared.figures.assumed, *made, *assumptions_of_costs_now(options))


def _totals(
    compared: ComparisonOverMonths, repair: OptionOverMonths, replacements: Sequence[OptionOverMonths]
) -> str:
    months = f"{compared.months.keep_months:g} months"
    renewing = ", ".join(_plain(name) for name in repair.option.renewed)
    first = (
        f"Over {months} repairing (renewing {renewing}) is expected to cost {repair.expected_total}: "
        f"{repair.option.cost_now.total} now and {repair.expected_later} later"
    )
    if not replacements:
        return f"{first}; no replacement was given to compare."
    best = best_replacement(replacements)
    second = (
        f"the best replacement, {_named(best)}, {best.expected_total}: {best.option.cost_now.total} now and "
        f"{best.expected_later} later"
    )
    mine, other = repair.expected_total, best.expected_total
    if mine == other:
        verdict = "Both cost the same in all; the lower cost now decides."
    else:
        cheaper = "Repairing" if mine < other else "Replacing"
        verdict = f"{cheaper} is {max(mine, other) - min(mine, other)} cheaper."
    return f"{first}; {second}. {verdict}"


def _at_the_counter(recommended: OptionOverMonths) -> Iterator[str]:
    option = recommended.option
    if option.core_deposit is not None:
        yield (
            f"At the counter {_named(recommended)} takes {option.pay_at_counter} with its core deposit of "
            f"{option.core_deposit.paid}, of which {option.core_deposit.expected_refund} is expected back "
            "for the old unit."
        )


def _units(units: Sequence[WorthOfUnit]) -> Iterator[str]:
    for unit in units:
        if unit.renewed:
            yield (
                f"While the starter is open, renewing {_names(unit)} pays: {unit.costs_now} more now saves "
                f"{unit.saves_later} later."
            )
    left = sorted(
        (unit for unit in units if not unit.renewed),
        key=lambda unit: unit.costs_now.minor - unit.saves_later.minor,
    )
    for unit in left[:MOST_UNITS_LEFT]:
        saves = f"saves {unit.saves_later} later" if unit.saves_later.minor > 0 else "saves nothing later"
        yield f"Renewing {_names(unit)} as well does not pay: {unit.costs_now} more now {saves}."


def _break_evens(compared: ComparisonOverMonths, best: OptionOverMonths, found: BreakEven) -> Iterator[str]:
    name = _named(best)
    for crossing in found.keep_months:
        before, after = ("repairing", name) if crossing.repair_cheaper_before else (name, "repairing")
        yield (
            f"At {crossing.months:.1f} months both would cost the same: kept for less, {before} comes "
            f"cheaper; kept for longer, {after}."
        )
    if "keep_months" in found.none_because:
        yield found.none_because["keep_months"]
    if found.replacement_price is not None:
        amount = Money(round_half_away(Fraction(found.replacement_price)), compared.currency)
        yield f"At a price of {amount} for {best.option.id} both would cost the same."


def _greatest_swing(compared: ComparisonOverMonths) -> Iterator[str]:
    if compared.sensitivity and compared.sensitivity[0].size > 0:
        swing = compared.sensitivity[0]
        amount = Money(round_half_away(Fraction(swing.size)), compared.currency)
        yield (
            f"The difference hangs most on {swing.name}: {float(SWING):.0%} less or more of it moves the "
            f"difference by up to {amount}."
        )


def _named(option: OptionOverMonths) -> str:
    return f"{option.option.option} ({option.option.id})"


def _names(unit: WorthOfUnit) -> str:
    return " and ".join(_plain(name) for name in unit.names)


def _plain(name: str) -> str:
    return name.replace("_", " ")
