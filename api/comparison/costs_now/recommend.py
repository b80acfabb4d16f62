"""Which option comes cheapest now, and why, in plain words with the figures. Pure."""

from collections.abc import Sequence

from api.comparison.costs_now.cost_now import Option

LIMIT_OF_THE_ADVICE = (
    "Only the cost now is compared: which option lasts longer is not counted. Follow the maker's service "
    "manual, and have the work done by a licensed repairer where local rules ask for one."
)
"""The last reason of every recommendation."""


def recommend_option(repair: Option, replacements: Sequence[Option]) -> Option:
    """Return the option with the lowest total now; a tie goes to the repair, then to the first given."""
    return min([repair, *replacements], key=lambda option: option.cost_now.total.minor)


def explain_choice(repair: Option, replacements: Sequence[Option]) -> tuple[str, ...]:
    """Return the reasons for the recommended option, the deciding one first, one sentence or two each."""
    recommended = recommend_option(repair, replacements)
    cost = repair.cost_now.total
    positions = ", ".join(position.replace("_", " ") for position in repair.renewed)
    if not replacements:
        first = f"Repairing (renewing {positions}) costs {cost} now; no replacement was given to compare."
        return (first, LIMIT_OF_THE_ADVICE)
    cheapest = min(replacements, key=lambda option: option.cost_now.total.minor)
    other = cheapest.cost_now.total
    reasons = [
        f"Repairing (renewing {positions}) costs {cost} now; the cheapest replacement, {_named(cheapest)}, "
        f"costs {other}. {_difference(repair, cheapest)}"
    ]
    deposit = cheapest.core_deposit
    if deposit is not None:
        reasons.append(
            f"At the counter {_named(cheapest)} takes {cheapest.pay_at_counter} with its core deposit of "
            f"{deposit.paid}, of which {deposit.expected_refund} is expected back for the old unit."
        )
        if recommended is cheapest and cost < cheapest.pay_at_counter:
            reasons.append("Until the deposit comes back, the replacement takes more money than the repair.")
    return (*reasons, LIMIT_OF_THE_ADVICE)


def _named(option: Option) -> str:
    return f"{option.option} ({option.id})"


def _difference(repair: Option, cheapest: Option) -> str:
    cost, other = repair.cost_now.total, cheapest.cost_now.total
    if cost < other:
        return f"Repairing is {other - cost} cheaper."
    if other < cost:
        return f"Replacing is {cost - other} cheaper."
    return "Both cost the same; repairing is preferred then."
