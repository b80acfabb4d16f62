"""Fill the gaps of a comparison over months from the catalogue: its positions, and baskets of parts. Pure.

The family's other positions come in as not failed and of unknown age, where offers can supply them and a
life is known. What is filled, and what is left out, is listed with its origin.
"""

import attrs

from api.comparison.costs_now.figures import Assumption
from api.comparison.from_catalogue.buy_parts import PartsOnOffer
from api.comparison.from_catalogue.family_supply import FamilySupply, SuppliedPosition
from api.comparison.from_catalogue.from_family import NOT_BOUGHT, fill_from_family
from api.comparison.from_catalogue.parts_baskets import PartsBaskets
from api.comparison.from_catalogue.wear_from_family import default_groups, fill_wear
from api.comparison.months.over_months import merge_groups
from api.comparison.requests.stated import StatedFigures, StatedPosition
from api.comparison.requests.stated_months import StatedMonths
from api.errors import FieldFault
from api.measurement.refusals import nearest_name
from api.money.fractions import number_text

MOST_FREE_UNITS = 6
"""Sound positions (or groups) at most where some are brought in: 64 sets to be priced (our judgement)."""

NOT_NAMED = "a position of family {family} that the request does not name"


def fill_months_from_family(
    stated: StatedFigures, months: StatedMonths, supply: FamilySupply
) -> tuple[StatedFigures, StatedMonths, PartsBaskets]:
    """Return both with every gap filled that the catalogue can fill, and the baskets of parts."""
    entering = _Entering(stated, months, supply)
    filled = fill_from_family(entering.with_positions(), supply)
    filled = attrs.evolve(filled, wanting=(*filled.wanting, *_strange_names(months, supply)))
    filled, worn = fill_wear(filled, months, supply)
    return filled, worn, entering.baskets


def _strange_names(months: StatedMonths, supply: FamilySupply) -> list[FieldFault]:
    expected = f"a position of family {supply.family}: " + ", ".join(supply.positions)
    return [
        FieldFault(
            ("renew_together", place, inner),
            name,
            expected,
            "unknown_position",
            nearest_name(name, supply.positions),
        )
        for place, group in enumerate(months.renew_together or ())
        for inner, name in enumerate(group)
        if name not in supply.positions
    ]


class _Entering:
    """Brings in the family's positions, and buys for all whose parts are not stated."""

    def __init__(self, stated: StatedFigures, months: StatedMonths, supply: FamilySupply) -> None:
        self._stated, self._months, self._supply = stated, months, supply
        self._told: list[Assumption] = []
        named = {each.position for each in stated.positions}
        asked = sorted(stated.positions, key=lambda each: not each.failed)
        known = [each.position for each in asked if each.parts is None and each.position in supply.positions]
        buying = [supply.positions[code] for code in known] + [
            each for each in supply.positions.values() if each.code not in named and self._can_enter(each)
        ]
        on_offer = PartsOnOffer(
            [each for each in buying if each.kind is not None], stated.currency, supply.as_of
        )
        self._told += on_offer.left_out
        self.baskets = PartsBaskets(on_offer.buy)
        bought = self.baskets.bought(frozenset(each.code for each in buying if each.kind is not None))
        self._met = bought.goods.keys()
        for code, reason in bought.unmet.items():
            self._leave_out(code, NOT_BOUGHT[reason].format(code=stated.currency.code, day=supply.as_of))
        self._added = self._few_enough(
            [each for each in buying if each.code not in named and each.code in self._met]
        )

    def with_positions(self) -> StatedFigures:
        """Return the figures with the positions; what baskets buy has empty parts."""
        positions = [self._of_request(each) for each in self._stated.positions]
        for each in self._added:
            bench = each.bench.hours if each.bench is not None else None
            positions.append(StatedPosition(each.code, False, (), bench))
            origin = NOT_NAMED.format(family=self._supply.family)
            self._told.append(Assumption(f"position {each.code}", "not failed, of unknown age", origin))
        return attrs.evolve(
            self._stated,
            positions=tuple(positions),
            basket_of=self.baskets.basket if self._met else None,
            assumed=(*self._stated.assumed, *self._told),
        )

    def _of_request(self, each: StatedPosition) -> StatedPosition:
        supplied = self._supply.positions.get(each.position)
        bench = supplied.bench if supplied is not None else None
        if each.parts is None and each.position in self._met:
            each = attrs.evolve(each, parts=())
        if not each.failed and each.parts is not None and each.bench_hours is None and bench is not None:
            self._told.append(
                Assumption(f"bench_hours of {each.position}", number_text(bench.hours), bench.origin)
            )
            each = attrs.evolve(each, bench_hours=bench.hours)
        return each

    def _can_enter(self, each: SuppliedPosition) -> bool:
        if each.kind is None:
            self._leave_out(each.code, "no kind of wear part covers it")
        elif ("position", each.code) not in self._supply.lives:
            self._leave_out(each.code, "the catalogue has no life for it")
        elif each.bench is None:
            self._leave_out(each.code, "the catalogue has no bench hours for it")
        else:
            return True
        return False

    def _leave_out(self, code: str, why: str) -> None:
        self._told.append(Assumption(f"position {code}", f"left out: {why}", f"family {self._supply.family}"))

    def _few_enough(self, added: list[SuppliedPosition]) -> list[SuppliedPosition]:
        """Leave out those that last longest where too many sets would have to be priced."""
        kept = sorted(added, key=lambda each: self._supply.lives["position", each.code].life.scale_starts)
        named = [each.position for each in self._stated.positions]
        failed = {each.position for each in self._stated.positions if each.failed}
        groups = default_groups(self._months, self._supply)
        while kept:
            units = merge_groups([*named, *(each.code for each in kept)], groups)
            free = [unit for unit in units if not failed & set(unit) and self._met & set(unit)]
            if len(free) <= MOST_FREE_UNITS:
                break
            self._leave_out(kept.pop().code, f"more than {2**MOST_FREE_UNITS} sets would have to be priced")
        return [each for each in added if each in kept]
