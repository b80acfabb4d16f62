"""Fill lives, ages, warranty and usual figures of a comparison over months from the catalogue. Pure.

What is filled, and what is left out, is listed with its origin.
"""

from collections.abc import Iterator
from typing import Any

import attrs

from api.comparison.costs_now.figures import Assumption
from api.comparison.from_catalogue.family_supply import FamilySupply
from api.comparison.months.over_months import AgeUnknown, LifeInStarts
from api.comparison.requests.stated import StatedFigures, StatedPosition
from api.comparison.requests.stated_months import StatedMonths, StatedWear
from api.money.amounts import Money, round_half_away
from api.money.fractions import number_text

CONTACTS = ("battery_side_contact", "motor_side_contact", "contact_disc")
"""What closes the main circuit: renewed together where nothing else is stated."""

COMMON_PRACTICE = "common practice, no source"


def fill_wear(
    stated: StatedFigures, months: StatedMonths, supply: FamilySupply
) -> tuple[StatedFigures, StatedMonths]:
    """Return figures whose positions and replacements are filled, and how they wear over the months."""
    return _Wearing(stated, supply).filled(months)


def default_groups(months: StatedMonths, supply: FamilySupply) -> tuple[tuple[str, ...], ...]:
    """Return the groups as stated; where none are, the contacts and the disc of the family as one."""
    if months.renew_together is not None:
        return months.renew_together
    contacts = tuple(code for code in CONTACTS if code in supply.positions)
    return (contacts,) if len(contacts) > 1 else ()


class _Wearing:
    """Fills lives, ages, warranty and usual figures, and keeps where each came from."""

    def __init__(self, filled: StatedFigures, supply: FamilySupply) -> None:
        self._stated, self._supply = filled, supply
        self._told: list[Assumption] = []

    def filled(self, months: StatedMonths) -> tuple[StatedFigures, StatedMonths]:
        """Return the figures with everything filled that the catalogue has."""
        stated = self._stated
        values = dict(self._usage(months))
        groups = default_groups(months, self._supply)
        if months.renew_together is None and groups:
            value = ", ".join(groups[0]).replace("_", " ")
            self._told.append(Assumption("renew_together", f"{value}, as one", COMMON_PRACTICE))
        positions = {each.position: self._position(months, each) for each in stated.positions}
        replacements = {
            each.id: self._replacement(months.of_replacement(each.id), each.id, each.condition)
            for each in stated.replacements or ()
        }
        filled = attrs.evolve(
            months,
            positions=positions,
            replacements=replacements,
            remainder=self._remainder(months),
            renew_together=groups,
            **values,
        )
        return attrs.evolve(stated, assumed=(*stated.assumed, *self._told)), filled

    def _usage(self, months: StatedMonths) -> Iterator[tuple[str, Any]]:
        currency = self._stated.currency
        for code in ("starts_per_month", "discount_rate_per_year", "incident_cost"):
            usual = self._supply.usage.get(code)
            if getattr(months, code) is not None or usual is None:
                continue
            value: Money | float = float(usual.value)
            text = number_text(usual.value)
            if code == "incident_cost":
                value = Money(round_half_away(usual.value * currency.minor_per_major), currency)
                text = str(value)
            self._told.append(Assumption(code, text, usual.origin))
            yield code, value

    def _life(self, what: str, scope: str, code: str, stated: LifeInStarts | None) -> LifeInStarts | None:
        usual = self._supply.lives.get((scope, code))
        if stated is not None or usual is None:
            return stated
        value = f"Weibull of shape {usual.life.shape:g} and scale {usual.life.scale_starts:g} starts"
        self._told.append(Assumption(f"life of {what}", value, usual.origin))
        return usual.life

    def _position(self, months: StatedMonths, each: StatedPosition) -> StatedWear:
        wear = months.of_position(each.position)
        named = each.position in months.positions
        if named and wear.age is None and not each.failed:
            self._told.append(Assumption(f"age of {each.position}", "unknown", "not stated in the request"))
        life = self._life(each.position, "position", each.position, wear.life)
        return attrs.evolve(wear, life=life, age=wear.age or AgeUnknown())

    def _replacement(self, wear: StatedWear, name: str, condition: str) -> StatedWear:
        wear = attrs.evolve(wear, life=self._life(name, "replacement", condition, wear.life))
        offered = self._stated.offered_warranty_months.get(name)
        if offered is not None:
            value = f"{offered} months, labour not covered"
            self._told.append(
                Assumption(f"warranty of {name}", value, "the offer; it says nothing of labour")
            )
            wear = attrs.evolve(wear, warranty_months=float(offered))
        return wear

    def _remainder(self, months: StatedMonths) -> StatedWear | None:
        wear = months.remainder or StatedWear()
        if not self._stated.replacements:
            if months.remainder is None:
                self._no_remainder("no replacement is there to meet its failure")
            return months.remainder
        life = self._life("remainder", "remainder", "any", wear.life)
        if life is None and months.remainder is None:
            self._no_remainder("the catalogue has no life for it")
            return None
        if wear.age is None:
            self._told.append(Assumption("age of remainder", "unknown", "not stated in the request"))
        return attrs.evolve(wear, life=life, age=wear.age or AgeUnknown())

    def _no_remainder(self, why: str) -> None:
        self._told.append(Assumption("remainder", f"left out: {why}", f"family {self._supply.family}"))
