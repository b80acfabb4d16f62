"""Orders are counted as they are read, the bound of all of them is one, and the advice is measured."""

import itertools
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from api.matching.likelihoods.likelihood import log_even
from api.matching.likelihoods.posterior import group_probabilities
from tests.whole_tables import weigh_sizes

from .fixed_orders import judge_orders, named_sets, readings_taken
from .kind_tables import read_instrument, read_kind_tables
from .measure_advice import MASS, measure
from .simulated_parts import PartDrawer, World

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def bushing():
    return read_kind_tables()["bushing"]


@pytest.fixture(scope="module")
def world(bushing):
    return World(kind=bushing.model, instrument=read_instrument("digital_caliper"))


def test_readings_are_counted_until_a_group_is_named_and_all_where_none_is():
    # Two dimensions; sets: none, the first, the second, both.
    named = np.array([[False, True, False, True], [False, False, False, True], [False] * 4])
    assert readings_taken(named, (0, 1)).tolist() == [1, 2, 2]
    assert readings_taken(named, (1, 0)).tolist() == [2, 2, 2]


@pytest.mark.parametrize("seed", range(6))
def test_no_order_beats_the_bound_and_trying_all_of_them_finds_the_best(seed):
    """Sets named at random, so that a further reading may take a name back."""
    rng = np.random.default_rng(seed)
    named = rng.random((15, 1 << 4)) < rng.uniform(0.1, 0.6)
    named[:, 0] = False
    every = [float(readings_taken(named, order).mean()) for order in itertools.permutations(range(4))]
    found = judge_orders(named, 4, sample=1, rng=rng)
    assert found.is_every
    assert found.best == min(every)
    assert found.best == float(readings_taken(named, found.best_order).mean())
    assert found.mean == pytest.approx(np.mean(every))
    assert found.bound <= min(every) + 1e-12


def test_the_bound_is_reached_where_a_name_once_given_stays():
    rng = np.random.default_rng(4)
    sets = np.arange(1 << 4)
    needed = rng.integers(1, 1 << 4, size=20)
    named = (sets & needed[:, None]) == needed[:, None]
    found = judge_orders(named, 4, sample=1, rng=rng)
    assert found.bound == pytest.approx(found.best)


def test_sets_of_readings_are_named_as_searches_of_them_are(bushing, world):
    model, table, grouping = bushing.model, bushing.table, bushing.grouping
    drawer = PartDrawer(world, table, np.random.default_rng(11))
    codes = [one.code for one in model.dimensions]
    for _ in range(5):
        readings = drawer.draw().readings
        alone = [weigh_sizes(model, table, [readings[code]]) for code in codes]
        rows = [
            np.append(one.log_likelihoods[code], log_even(model.dimension(code), readings[code]))
            for one, code in zip(alone, codes, strict=True)
        ]
        prior = weigh_sizes(model, table, ())
        log_prior = np.log(np.append(prior.size_probability, prior.unlisted_probability))
        named = named_sets(np.array(rows), log_prior, grouping.number, MASS)
        for places in [(), (0,), (1, 2), (0, 3, 6), tuple(range(len(codes)))]:
            posterior = weigh_sizes(model, table, [readings[codes[place]] for place in places])
            top = group_probabilities(posterior, grouping).max()
            assert named[sum(1 << place for place in places)] == (top >= MASS)


def test_the_advice_takes_fewer_readings_than_any_fixed_order(bushing, world):
    found, everything = measure(bushing, world, cases=60, sample=1, seed=3)
    assert found.fixed.tried == 5040
    assert found.advised < found.fixed.bound <= found.fixed.best < found.fixed.mean
    assert found.beats_every_order
    assert everything.cases == 60 >= found.cases


def test_the_command_prints_the_means_of_every_kind():
    command = [sys.executable, "-m", "tests.benchmarks.measure_advice", "--cases", "4", "--orders", "3"]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    for told in ("bushing: ", "of all 5040 orders", "drive_clutch: ", "bound of fixed orders"):
        assert told in run.stdout
