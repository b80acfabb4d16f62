"""Failure processes drawn at random; by how much simulation and renewal theory differ, standardised."""

import math

import numpy as np

from api.comparison.histories.simulation import OptionProcesses, simulate_options
from api.comparison.months.failure_process import FailureProcess, expected_cost, monthly_rate
from api.wear_life.renewal import AgedLife, FirstLife, NewLife, UnknownAge
from api.wear_life.weibull import WeibullLife

SETTINGS = 2_000
COST_NOW = 5_000.0


def random_process(chance: np.random.Generator, months: float, name: str) -> FailureProcess:
    """Return a process: shapes of 0.5 to 10, 0.15 to 4 times the months, any first life, any warranty."""
    shape = math.exp(chance.uniform(math.log(0.5), math.log(10)))
    life = WeibullLife(shape, months * math.exp(chance.uniform(math.log(0.15), math.log(4))))
    age = AgedLife(life.scale * float(chance.uniform(0, 2)))
    first: FirstLife = (NewLife(), age, UnknownAge())[chance.integers(3)]
    cost = math.exp(chance.uniform(math.log(100), math.log(100_000)))
    return FailureProcess(
        name=name,
        life=life,
        first=first,
        cost=cost,
        covered_cost=cost * float(chance.uniform(0, 1)),
        covered_until=float(chance.choice([0.0, 6.0, 24.0, 300.0])),
    )


def standardised_differences(settings: int = SETTINGS, seed: int = 20_240) -> list[float]:
    """Return (drawn mean - expectation) / standard error of so many random settings of 1 to 3 processes."""
    chance = np.random.default_rng(seed)
    found = []
    for setting in range(settings):
        months = float(chance.integers(1, 241))
        yearly = float(chance.choice([0.0, 0.03, 0.1, 1.0]))
        processes = tuple(random_process(chance, months, str(each)) for each in range(chance.integers(1, 4)))
        histories = int(chance.integers(400, 2_000))
        option = OptionProcesses("repair", COST_NOW, processes)
        drawn = simulate_options([option], months, yearly, histories=histories, seed=setting).options[0]
        later = sum(expected_cost(each, months, monthly_rate(yearly)) for each in processes)
        found.append((drawn.mean - COST_NOW - later) / drawn.standard_error)
    return found
