"""HTTP of comparisons: repair against replacement, the cost now or over the months the starter is kept."""

from collections.abc import Iterable

from api.comparison.answers.answer_shapes import ComparisonAnswer
from api.comparison.answers.present import comparison_answer
from api.comparison.answers.present_months import comparison_over_months_answer
from api.comparison.compare_kept import Bought, compare_kept
from api.comparison.costs_now.compare import compare_now
from api.comparison.from_catalogue.family_supply import FamilySupply
from api.comparison.from_catalogue.from_family import fill_from_family
from api.comparison.from_catalogue.months_from_family import fill_months_from_family
from api.comparison.requests.read_request import read_comparison
from api.comparison.requests.shapes import ByFamily, ComparisonRequest
from api.comparison.requests.stated import (
    StatedFigures,
    complete_figures,
    complete_over_months,
    open_warranties,
)
from api.comparison.requests.stated_months import StatedMonths
from api.comparison.short_lives import StatedLives
from api.comparison.store import find_supply
from api.database import Database
from api.errors import FieldFault, InvalidInput, shown
from api.measurement.refusals import nearest_name
from api.offers.days import today
from api.starters.store import family_codes, find_family
from api.wire.operation import Operation, operation

EXAMPLE = {
    "currency": "USD",
    "family": "D12-01",
    "keep_months": 36,
    "labour": {"rate_per_hour": "0"},
    "positions": [
        {"position": "battery_side_contact", "failed": True},
        {"position": "motor_side_contact", "failed": True},
    ],
}


@operation(
    Operation(
        "POST",
        "/v1/comparisons",
        "compare_repair_with_replacement",
        "comparisons",
        "What repairing and each replacement cost now, line by line, and over the months the starter is kept",
        ComparisonAnswer,
        body=ComparisonRequest,
        example=EXAMPLE,
    )
)
def compare_repair_with_replacement(body: ComparisonRequest, database: Database) -> ComparisonAnswer:
    """Compare from a family, whose catalogue entry supplies what is left out, or from stated figures."""
    stated = read_comparison(body.root)
    supply = _supply(stated, body.root.family, database) if isinstance(body.root, ByFamily) else None
    if stated.months is not None:
        return _over_months(stated, stated.months, supply)
    if supply is not None:
        stated = fill_from_family(stated, supply)
    return comparison_answer(compare_now(complete_figures(stated)))


def _over_months(
    stated: StatedFigures, months: StatedMonths, supply: FamilySupply | None
) -> ComparisonAnswer:
    lives = StatedLives.of(stated, months)
    bought = None
    if supply is not None:
        stated, months, baskets = fill_months_from_family(stated, months, supply)
        bought = Bought(baskets, open_warranties(stated, months))
    figures, over_months = complete_over_months(stated, months)
    return comparison_over_months_answer(compare_kept(figures, over_months, lives, bought))


def _supply(stated: StatedFigures, code: str, database: Database) -> FamilySupply:
    over_months = stated.months is not None
    needed = {each.position for each in stated.positions if each.failed and each.parts is None}
    with database.read() as reads:
        family = find_family(reads, code)
        if family is None or family.withdrawn_on is not None:
            raise InvalidInput.of([_not_a_family(code, family is not None, family_codes(reads))])
        return find_supply(
            reads,
            family,
            stated.currency,
            today(),
            parts_for=None if over_months else needed,
            with_starters=stated.replacements is None,
            over_months=over_months,
        )


def _not_a_family(code: str, withdrawn: bool, known: Iterable[str]) -> FieldFault:
    if withdrawn:
        return FieldFault(("family",), shown(code), "a family that is not withdrawn", "withdrawn_family")
    expected = "the code of a starter family"
    return FieldFault(("family",), shown(code), expected, "unknown_family", nearest_name(code, known))


ROUTES = (compare_repair_with_replacement,)
