"""The simulation draws what it says, its exact posterior is exact, and miscalibration is told."""

import subprocess
import sys
from pathlib import Path

import attrs
import numpy as np
import pytest
from databases import new_place
from scipy import stats

from api.matching.model import DimensionModel, KindModel
from api.matching.readings import ChoiceReading, LengthReading
from tests.size_rows import DOES_NOT_APPLY, SizeRow, build_size_table
from tests.whole_tables import group_sizes

from .calibration_figures import Judged, reliability, summarise
from .calibration_misses import why_missed
from .exact_posterior import ExactPosterior
from .kind_tables import KindTable, read_instrument, read_kind_tables, stored_kind_tables
from .measure_calibration import simulate, worlds_of
from .simulated_parts import PartDrawer, World

ROOT = Path(__file__).resolve().parents[2]
CALIPER = read_instrument("digital_caliper")
BORE = DimensionModel(
    code="bore",
    measure="length",
    how="inside",
    wear_sense="grows",
    wear_scale_nm=80_000,
    span_lower=4_000_000,
    span_upper=40_000_000,
)
FLANGE = DimensionModel(
    code="flange", measure="length", how="outside", span_lower=8_000_000, span_upper=70_000_000
)
OIL = DimensionModel(
    code="oil", measure="choice", how="look", choices=("none", "hole", "groove"), miscount_chance=0.03
)
KIND = KindModel(kind="bushing", dimensions=(BORE, FLANGE, OIL), unlisted_prior=0.05)


def rows(*bores_nm, width=0, **more):
    return [
        SizeRow(code=f"S{place}", values={"bore": (bore, bore + width), **more})
        for place, bore in enumerate(bores_nm)
    ]


@pytest.fixture(scope="module")
def kinds():
    return read_kind_tables()


@pytest.mark.parametrize("value", [12_480_000.0, 12_560_000.0, 12_630_000.0])
def test_the_exact_posterior_of_two_exact_sizes_is_bayes_rule_with_scipy_densities(value):
    """Wear plus error by SciPy's exponentially modified normal."""
    table = build_size_table(KIND, rows(12_500_000, 12_600_000))
    world = World(kind=KIND, instrument=CALIPER)
    u = world.uncertainty_nm(BORE, value)
    reading = LengthReading(dimension="bore", value_nm=value, uncertainty_nm=u)
    sizes, unlisted = ExactPosterior(world, table, [reading]).after(["bore"])
    worn = stats.exponnorm.pdf(value - np.array([12.5e6, 12.6e6]), 80_000 / u, scale=u)
    weights = np.append(0.475 * (0.98 * worn + 0.02 / 36e6), 0.05 / 36e6)
    assert [*sizes, unlisted] == pytest.approx((weights / weights.sum()).tolist(), rel=1e-9)


def test_errors_by_the_instrument_itself_spread_as_its_standard_uncertainty_says():
    """JCGM 100:2008, 4.3.7 and F.2.2.1: a rectangular error and a rounding, added in quadrature."""
    sure = attrs.evolve(BORE, wear_sense="none", wear_scale_nm=0, slip_chance=1e-9)
    kind = attrs.evolve(KIND, dimensions=(sure,), unlisted_prior=1e-9)
    world = World(kind=kind, instrument=CALIPER, noise="rectangular")
    table = build_size_table(kind, rows(12_503_700))
    drawer = PartDrawer(world, table, np.random.default_rng(1))
    errors = [drawer.draw().readings["bore"].value_nm - 12_503_700 for _ in range(4000)]
    assert np.std(errors) == pytest.approx(world.uncertainty_nm(sure, 12_503_700), rel=0.04)
    assert all(round(error + 12_503_700) % CALIPER.resolution_nm == 0 for error in errors)


def test_parts_are_drawn_by_their_listings_and_worn_by_the_mean_wear():
    values = rows(12_500_000, 16_000_000, flange=DOES_NOT_APPLY, oil="hole")
    table = build_size_table(KIND, [values[0], attrs.evolve(values[1], listings=2)])
    drawer = PartDrawer(World(kind=KIND, instrument=CALIPER), table, np.random.default_rng(7))
    cases = [drawer.draw() for _ in range(4000)]
    of_row = [[one for one in cases if one.row == row] for row in (0, 1, None)]
    shares = [len(one) / 4000 for one in of_row]
    assert shares == pytest.approx([0.95 / 4, 0.95 * 3 / 4, 0.05], abs=0.03)
    clean = [one for one in of_row[1] if "bore" not in one.slipped]
    wear = [one.readings["bore"].value_nm - 16_000_000 for one in clean]
    assert np.mean(wear) == pytest.approx(80_000, rel=0.06)
    slips = np.mean([not one.slipped.isdisjoint({"bore"}) for one in of_row[1]])
    assert slips == pytest.approx(0.02, abs=0.01)
    looks = [one.readings["oil"] for one in of_row[1]]
    assert np.mean([one != ChoiceReading(dimension="oil", choice="hole") for one in looks]) == pytest.approx(
        0.03, abs=0.01
    )


def test_what_is_stated_too_surely_does_not_hold():
    rng = np.random.default_rng(3)
    said, surer = [], []
    for chance in rng.uniform(0.5, 1.0, 6000):
        true = int(rng.random() > chance)
        said.append(Judged(probabilities=np.array([chance, 1 - chance, 0.0]), true=true, is_clean=True))
        sure = chance**3 / (chance**3 + (1 - chance) ** 3)
        surer.append(Judged(probabilities=np.array([sure, 1 - sure, 0.0]), true=true, is_clean=True))
    assert all(one.holds for one in reliability(said))
    assert sum(not one.holds for one in reliability(surer)) > 4


def test_places_and_scores_of_a_few_searches():
    first = Judged(probabilities=np.array([0.7, 0.2, 0.1]), true=0, is_clean=True)
    second = Judged(probabilities=np.array([0.7, 0.2, 0.1]), true=1, is_clean=False)
    unlisted = Judged(probabilities=np.array([0.3, 0.1, 0.6]), true=2, is_clean=True)
    found = summarise([first, second, unlisted])
    assert (found.first, found.first_clean, found.first_three) == (0.5, 1.0, 1.0)
    assert (found.unlisted_called, found.listed_called_unlisted) == (1.0, 0.0)
    assert first.brier == pytest.approx(0.09 + 0.04 + 0.01)


def test_a_miss_is_told_by_what_the_readings_could_tell_apart():
    sizes = [
        SizeRow(code=f"S{place}", values={"bore": (bore, bore + 20_000), "flange": flange, "oil": "hole"})
        for place, (bore, flange) in enumerate(
            [
                (12_500_000, (18_000_000, 18_100_000)),
                (12_510_000, (18_050_000, 18_200_000)),  # overlaps the first in both
                (12_600_000, (18_000_000, 18_100_000)),  # apart in the bore, which wears
                (12_600_000, DOES_NOT_APPLY),
            ]
        )
    ]
    table = build_size_table(KIND, sizes)
    kind = KindTable(model=KIND, table=table, grouping=group_sizes(KIND, table))
    read = [LengthReading(dimension=code, value_nm=12.6e6, uncertainty_nm=2e4) for code in ("bore", "flange")]
    assert [why_missed(kind, read, 0, other) for other in (1, 2, 3)] == ["nothing", "wear", "other"]
    assert why_missed(kind, [ChoiceReading(dimension="oil", choice="hole")], 0, 3) == "nothing"


def test_the_kinds_of_a_database_are_those_of_the_folder_it_was_loaded_from(kinds):
    with new_place("sqlite", "seeded") as place:
        stored = stored_kind_tables(place.folder)
    assert stored.keys() == kinds.keys()
    for code, kind in kinds.items():
        assert stored[code].model == kind.model
        assert stored[code].table.codes == kind.table.codes
        assert stored[code].table.listings.tolist() == kind.table.listings.tolist()
        assert stored[code].grouping.ids == kind.grouping.ids


def test_searches_stay_close_to_the_exact_posterior(kinds):
    searches = simulate(kinds, worlds_of(kinds), cases=12, seed=5)
    apart = [abs(one.ours.probabilities - one.exact.probabilities).max() for one in searches]
    assert np.mean(apart) < 0.01
    assert {one.kind for one in searches} == set(kinds)


def test_the_same_seed_draws_the_same_cases_and_another_seed_others(kinds):
    few = {"contact": kinds["contact"]}
    first, again, other = (
        [one.ours.probabilities.tolist() for one in simulate(few, worlds_of(few), cases=2, seed=seed)]
        for seed in (1, 1, 2)
    )
    assert first == again != other


def test_the_command_prints_its_tables():
    command = [sys.executable, "-m", "tests.benchmarks.measure_calibration", "--cases", "8"]
    command += ["--advised-cases", "1", "--variant-cases", "2", "--noise", "rectangular"]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    for told in ("bushing: ", "groups, 2", "unlisted, 3", "drive_clutch", "both x 0.5"):
        assert told in run.stdout
