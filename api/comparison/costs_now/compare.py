"""Compare repair with replacement: complete figures in, options, advice and assumptions out. Pure."""

import attrs

from api.comparison.costs_now.cost_now import CostNow, Option, cost_of_repair, cost_of_replacement
from api.comparison.costs_now.figures import Assumption, ComparisonFigures
from api.comparison.costs_now.recommend import explain_choice, recommend_option
from api.money.amounts import ROUNDING
from api.money.currencies import Currency

MODEL = "the model of this comparison"
"""Origin of an assumption that the model makes."""

ONLY_NOW = Assumption(
    "later costs",
    "not counted: only what is paid now; state keep_months to compare over the months the starter is kept",
    MODEL,
)


@attrs.frozen
class Comparison:
    """Repair first, then the replacements as given; which is recommended, why, on which assumptions."""

    currency: Currency
    tax_included: bool
    options: tuple[Option, ...]
    recommended: str
    reasons: tuple[str, ...]
    assumptions: tuple[Assumption, ...]


def compare_now(figures: ComparisonFigures) -> Comparison:
    """Return what each option costs now and which comes cheapest.

    Raises `NoFailedPosition`, and `CurrencyMismatch` when the figures are not all of one currency.
    """
    repair = cost_of_repair(figures)
    replacements = tuple(cost_of_replacement(each, figures) for each in figures.replacements)
    options = (repair, *replacements)
    return Comparison(
        figures.currency,
        figures.tax.included,
        options,
        recommend_option(repair, replacements).id,
        explain_choice(repair, replacements),
        (*figures.assumed, ONLY_NOW, *assumptions_of_costs_now(options)),
    )


def assumptions_of_costs_now(options: tuple[Option, ...]) -> tuple[Assumption, ...]:
    """Return what the model chose for the costs now of these options."""
    made = [Assumption("rounding", f"{ROUNDING}; labour once, tax once for each rate", MODEL)]
    if any(option.core_deposit is not None for option in options):
        text = "charged on the whole deposit at the counter and returned with what is refunded"
        made.append(Assumption("tax on core deposits", text, MODEL))
    costs: list[CostNow] = [option.cost_now for option in options]
    if any(line.code == "shipping" for cost in costs for line in cost.lines):
        made.append(Assumption("tax on shipping", "at the rate on parts", MODEL))
    return tuple(made)
