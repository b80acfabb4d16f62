"""A comparison over months recomputed from its request and the statement of the model, by other means.

Reads the JSON of a request that states every figure; amounts are floats in the currency, not rounded.
Failures are counted on a grid, histories drawn anew: no code is shared with the service.
"""

import re
from copy import deepcopy
from itertools import chain, combinations
from math import gamma, log

import numpy as np
from renewals_on_a_grid import discounted_failures
from scipy.optimize import brentq

MOST_MONTHS = 240.0


class ByHand:
    """The costs of a request; `reach` is the longest horizon that will be asked for."""

    def __init__(self, request, reach=None):
        self.request = request
        self.months = request["keep_months"]
        self.reach = reach or self.months
        labour, tax = request["labour"], request["tax"]
        self.rate_per_hour = float(labour["rate_per_hour"])
        self.fitting, self.strip = labour["removal_and_refit_hours"], labour.get("strip_hours", 0)
        added = not tax.get("included", False)
        self.on_parts, self.on_labour, self.on_deposit = (
            1 + added * float(tax[name]) for name in ("parts", "labour", "deposit")
        )
        self.incident = float(request["incident_cost"])
        self.consumables = float(request["consumables"]) * self.on_parts
        self.discount = log(1 + float(request["discount_rate_per_year"])) / 12

    def labour(self, hours):
        return hours * self.rate_per_hour * self.on_labour

    def life(self, piece):
        return piece["life"]["shape"], piece["life"]["scale_starts"] / self.request["starts_per_month"]

    def age(self, piece):
        """Months, or None where it is unknown."""
        shape, scale = self.life(piece)
        if piece.get("age_starts") is not None:
            return piece["age_starts"] / self.request["starts_per_month"]
        if piece.get("wear_share") is not None:
            return piece["wear_share"] * scale * gamma(1 + 1 / shape)
        return None

    def has_failed(self, position):
        return position["failed"] or (position.get("wear_share") or 0) >= 1

    def fitted(self, replacement):
        kept = float(replacement.get("core_deposit", "0")) * (1 - replacement.get("refund_chance", 1))
        price = float(replacement["price"]) * self.on_parts
        return price + self.labour(self.fitting) + kept * self.on_deposit

    def replacement_now(self, replacement):
        return self.fitted(replacement) + self.consumables

    def renewing(self, position):
        return float(position["part_cost"]) * self.on_parts + self.labour(position["bench_hours"])

    def repair_now(self, renewed):
        opened = self.consumables + self.labour(self.strip + self.fitting)
        return opened + sum(
            self.renewing(each) for each in self.request["positions"] if each["position"] in renewed
        )

    def processes(self, option, renewed=()):
        """Yield piece, age, cost, covered cost and last covered month of all that may fail."""
        if option != "repair":
            each = next(one for one in self.request["replacements"] if one["id"] == option)
            work = 0 if each.get("warranty_covers_labour") else self.labour(self.fitting)
            cost = self.incident + self.fitted(each)
            yield each, 0.0, cost, self.incident + work, each.get("warranty_months", 0)
            return
        for each in self.request["positions"]:
            fresh = each["position"] in renewed
            work = self.labour(each["bench_hours"] + self.strip + self.fitting)
            cost = self.incident + float(each["part_cost"]) * self.on_parts + work
            covered = self.incident + (0 if each.get("warranty_covers_labour") else work)
            until = each.get("warranty_months", 0) if fresh else 0
            yield each, 0.0 if fresh else self.age(each), cost, covered, until
        remainder = self.request.get("remainder")
        if remainder:
            met = min(self.fitted(one) for one in self.request["replacements"])
            yield remainder, self.age(remainder), self.incident + met, 0.0, 0

    def worth(self, process, months):
        piece, age, cost, covered, until = process
        failures = discounted_failures(*self.life(piece), age, self.discount, self.reach)
        free = float(failures(min(until, months))) if until else 0.0
        return cost * (float(failures(months)) - free) + covered * free

    def later(self, option, renewed=(), months=None):
        return sum(self.worth(each, months or self.months) for each in self.processes(option, renewed))

    def sets(self):
        positions = self.request["positions"]
        names = [each["position"] for each in positions]
        must = {each["position"] for each in positions if self.has_failed(each)}
        groups = [set(group) for group in self.request.get("renew_together", [])]
        for some in chain.from_iterable(combinations(names, size) for size in range(len(names) + 1)):
            chosen = set(some)
            if must <= chosen and all(group <= chosen or not group & chosen for group in groups):
                yield chosen

    def best(self, months=None):
        """Return the least total of the repair, and what it renews."""
        totals = [(self.repair_now(some) + self.later("repair", some, months), some) for some in self.sets()]
        return min(totals, key=lambda one: one[0])

    def replacement_total(self, replacement, months=None):
        return self.replacement_now(replacement) + self.later(replacement["id"], months=months)

    def dearer_by(self, months=None):
        """Return the repair minus each replacement."""
        repair, _ = self.best(months)
        return np.array(
            [repair - self.replacement_total(one, months) for one in self.request["replacements"]]
        )

    def roots(self, steps=240):
        """Return for each replacement all months from 1 to 240 at which it and the repair cost the same."""
        grid = np.linspace(1.0, MOST_MONTHS, steps)
        values = np.array([self.dearer_by(float(months)) for months in grid])
        found = []
        for place in range(values.shape[1]):
            changes = np.flatnonzero(np.sign(values[1:, place]) != np.sign(values[:-1, place]))
            found.append(
                [
                    brentq(lambda at, place=place: self.dearer_by(at)[place], *grid[[at, at + 1]], xtol=1e-3)
                    for at in changes
                ]
            )
        return found, values[0] < 0

    def drawn(self, option, renewed, histories, seed):
        """Return what an option comes to in each of some histories, piece after piece."""
        chance = np.random.default_rng(seed)
        each = next((one for one in self.request["replacements"] if one["id"] == option), None)
        totals = np.full(histories, self.replacement_now(each) if each else self.repair_now(renewed))
        for piece, age, cost, covered, until in self.processes(option, renewed):
            shape, scale = self.life(piece)
            if age is None:  # a life drawn by its length, met at an even share of it
                lived = scale * chance.gamma(1 + 1 / shape, 1, histories) ** (1 / shape)
                times = lived * chance.random(histories)
            else:
                times = (
                    scale * ((age / scale) ** shape + chance.exponential(1, histories)) ** (1 / shape) - age
                )
            while (alive := times <= self.months).any():
                worth = np.where(times <= until, covered, cost) * np.exp(-self.discount * times)
                totals += np.where(alive, worth, 0.0)
                times = times + scale * chance.weibull(shape, histories)
        return totals


def changed(request, path, change):
    """Return a request with one number changed, named as the sensitivity names it."""
    copy = deepcopy(request)
    *way, last = [int(step) if step.isdigit() else step for step in re.findall(r"[a-z_]+|\d+", path)]
    holder = copy
    for step in way:
        holder = holder[step]
    held = holder.get(last, 1)
    number = change(float(held))
    holder[last] = repr(number) if isinstance(held, str) else number
    return copy
