"""HTTP of comparisons: repair against replacement, the cost now."""

from api.comparison.compare import compare_now
from api.comparison.from_family import fill_from_family
from api.comparison.present import comparison_answer
from api.comparison.read_request import read_comparison
from api.comparison.shapes import ComparisonAnswer, ComparisonByFamily, ComparisonRequest
from api.comparison.stated import StatedFigures, complete_figures
from api.comparison.store import find_supply
from api.database import Database
from api.errors import UnknownCode
from api.measurement.refusals import nearest_name
from api.offers.days import today
from api.starters.store import family_codes, find_family
from api.wire.operation import Operation, operation

EXAMPLE = {
    "currency": "USD",
    "family": "D12-01",
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
        "What repairing and each replacement cost now, line by line",
        ComparisonAnswer,
        body=ComparisonRequest,
        problems=(UnknownCode,),
        example=EXAMPLE,
    )
)
def compare_repair_with_replacement(body: ComparisonRequest, database: Database) -> ComparisonAnswer:
    """Compare from a family, whose catalogue entry supplies what is left out, or from stated figures."""
    stated = read_comparison(body.root)
    if isinstance(body.root, ComparisonByFamily):
        stated = _filled(stated, body.root.family, database)
    return comparison_answer(compare_now(complete_figures(stated)))


def _filled(stated: StatedFigures, code: str, database: Database) -> StatedFigures:
    with database.read() as reads:
        family = find_family(reads, code)
        if family is None:
            raise UnknownCode("family", code, nearest_name(code, family_codes(reads)))
        supply = find_supply(
            reads,
            family,
            stated.currency,
            today(),
            parts_for={each.position for each in stated.positions if each.failed and each.parts is None},
            with_starters=stated.replacements is None,
        )
    return fill_from_family(stated, supply)


ROUTES = (compare_repair_with_replacement,)
