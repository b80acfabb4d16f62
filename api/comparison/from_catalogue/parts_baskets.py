"""Baskets of parts for any set of positions, each computed once for a comparison over months. Pure."""

from collections.abc import Mapping
from typing import Protocol

import attrs

from api.comparison.costs_now.figures import Basket
from api.comparison.from_catalogue.buy_parts import BoughtParts


class Buy(Protocol):
    """Buys the cheapest basket for a set of positions."""

    def __call__(self, codes: frozenset[str], *, with_other_mix: bool = False) -> BoughtParts:
        """Return what is bought; among what is assumed, if asked for, the cheapest from other suppliers."""


@attrs.frozen
class PartsBaskets:
    """What `buy` finds for each set of positions, kept for the length of one comparison."""

    buy: Buy
    _bought: dict[frozenset[str], BoughtParts] = attrs.field(factory=dict, init=False)

    def bought(self, positions: frozenset[str]) -> BoughtParts:
        """Return what is bought for a set of positions."""
        if positions not in self._bought:
            self._bought[positions] = self.buy(positions)
        return self._bought[positions]

    def bought_in_the_end(self, positions: frozenset[str]) -> BoughtParts:
        """Return the same, with the cheapest basket from another set of suppliers among what is assumed."""
        return self.buy(positions, with_other_mix=True)

    def basket(self, positions: frozenset[str]) -> Basket:
        """Return what is bought for a set of positions as a basket of goods and shipping."""
        bought = self.bought(positions)
        goods = tuple((code, each) for code, lines in bought.goods.items() for each in lines)
        return Basket(goods, bought.shipping)

    def warranty_months(self, positions: frozenset[str]) -> Mapping[str, int]:
        """Return the warranty of the offers taken for each of the positions."""
        return self.bought(positions).warranty_months
