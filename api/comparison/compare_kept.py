"""Compare over the months the starter is kept: expectations, drawn histories, and what was assumed. Pure."""

from collections.abc import Iterator

import attrs

from api.comparison.costs_now.compare import MODEL
from api.comparison.costs_now.figures import Assumption, ComparisonFigures
from api.comparison.from_catalogue.parts_baskets import PartsBaskets
from api.comparison.histories.simulation import (
    HISTORIES,
    OptionProcesses,
    SimulatedTotals,
    simulate_options,
)
from api.comparison.months.best_set import TooManySets
from api.comparison.months.compare_months import ComparisonOverMonths, compare_over_months
from api.comparison.months.explain_months import assumptions_over_months, explain_over_months
from api.comparison.months.over_months import OverMonths
from api.comparison.settle_warranty import settle_warranties
from api.comparison.short_lives import StatedLives, refuse_short_lives
from api.errors import InvalidInput
from api.money.amounts import sum_amounts

SEED = 1
"""Every comparison draws with this seed: the same request gives the same answer."""


@attrs.frozen
class Bought:
    """The baskets that parts are bought in, and whose warranty is that of the offer taken."""

    baskets: PartsBaskets
    open_warranties: frozenset[str]


@attrs.frozen
class KeptComparison:
    """A comparison over months: expected costs, spread and chances, why, and on which assumptions."""

    compared: ComparisonOverMonths
    simulated: SimulatedTotals
    reasons: tuple[str, ...]
    assumptions: tuple[Assumption, ...]


def compare_kept(
    figures: ComparisonFigures,
    months: OverMonths,
    lives: StatedLives,
    bought: Bought | None = None,
    histories: int = HISTORIES,
) -> KeptComparison:
    """Return everything that is answered over the months.

    `lives` says where lives are stated; `bought` holds the baskets where parts are bought. Raises
    `InvalidInput` (lives too short against the months, too many sets of positions to price, and what
    `check_over_months` finds), `NoFailedPosition`, `CurrencyMismatch`.
    """
    refuse_short_lives(months, lives)
    try:
        if bought is not None:
            months = settle_warranties(figures, months, bought.baskets, bought.open_warranties)
        compared = compare_over_months(figures, months)
        simulated = _drawn(compared, histories)
    except TooManySets as refused:
        raise InvalidInput.of([refused.fault("positions")]) from None
    told = () if bought is None else tuple(_parts_bought(compared, bought))
    return KeptComparison(
        compared=compared,
        simulated=simulated,
        reasons=explain_over_months(compared),
        assumptions=(*assumptions_over_months(compared), *told, _histories(simulated)),
    )


def _drawn(compared: ComparisonOverMonths, histories: int) -> SimulatedTotals:
    months = compared.months
    options = [
        OptionProcesses(each.option.id, float(each.option.cost_now.total.minor), each.processes)
        for each in compared.options
    ]
    return simulate_options(
        options, months.keep_months, months.discount_rate_per_year, histories=histories, seed=SEED
    )


def _parts_bought(compared: ComparisonOverMonths, parts: Bought) -> Iterator[Assumption]:
    """Tell what is bought for the best set, and what every other position's part costs alone."""
    baskets = parts.baskets
    bought = {each.position for each in compared.figures.positions if not each.parts}
    renewed = frozenset(compared.options[0].option.renewed) & bought
    yield from baskets.bought_in_the_end(renewed).assumed
    for name in sorted(bought):
        alone = baskets.basket(frozenset({name}))
        prices = (
            goods.unit_price * goods.quantity
            for goods in (*(each for _, each in alone.goods), *alone.shipping)
        )
        cost = sum_amounts(prices, compared.currency)
        value = f"{cost}, bought alone with its shipping"
        origins = ", ".join(each.origin for each in baskets.bought(frozenset({name})).assumed)
        yield Assumption(f"later part_cost of {name}", value, origins)
    for name in sorted(renewed & parts.open_warranties):
        wear = compared.months.positions[name]
        labour = "covered" if wear.warranty_covers_labour else "not covered"
        value = f"{wear.warranty_months:g} months, labour {labour}"
        yield Assumption(f"warranty of {name}", value, "the offer taken; it says nothing of labour")


def _histories(simulated: SimulatedTotals) -> Assumption:
    value = (
        f"{simulated.histories} histories drawn with the fixed seed {simulated.seed}: the same request gives "
        "the same answer"
    )
    return Assumption("spread and chances", value, MODEL)
