"""Drawn histories against what is known without drawing: renewal theory, Poisson counts, ties, streams."""

import math

import attrs
import numpy as np
import pytest
from drawn_processes import standardised_differences
from scipy import stats

from api.comparison.histories.sampled_costs import sample_costs
from api.comparison.histories.simulation import (
    HISTORIES,
    MOST_MEAN_LIVES,
    OptionProcesses,
    SimulatedTotals,
    TooManyFailures,
    simulate_options,
)
from api.comparison.months.failure_process import FailureProcess
from api.wear_life.renewal import AgedLife, FirstLife, NewLife, UnknownAge
from api.wear_life.weibull import WeibullLife

FIRST_LIVES: tuple[FirstLife, ...] = (NewLife(), AgedLife(7.0), UnknownAge())


def process(shape: float, scale: float, first: FirstLife | None = None, **figures: object) -> FailureProcess:
    told = {"name": "brush_set", "cost": 1_000.0} | figures
    return FailureProcess(life=WeibullLife(shape, scale), first=first or NewLife(), **told)


def option(name: str, cost_now: float, *processes: FailureProcess) -> OptionProcesses:
    return OptionProcesses(name, cost_now, processes)


def simulate(
    *options: OptionProcesses, months: float = 60, rate: float = 0.0, **told: int
) -> SimulatedTotals:
    return simulate_options(options, months, rate, **({"seed": 11} | told))


def test_means_lie_about_the_expected_costs_as_their_standard_errors_say() -> None:
    # Renewal theory and simulation are two ways to one number, and share no code but the laws' names.
    # The differences over their standard errors then have mean 0 and standard deviation 1.
    standardised = standardised_differences()
    assert len(standardised) == 2_000
    assert abs(np.mean(standardised)) <= 0.1
    assert abs(np.std(standardised, ddof=1) - 1) <= 0.1


@pytest.mark.parametrize("first", FIRST_LIVES)
def test_failures_of_exponential_lives_are_poisson_counts(first: FirstLife) -> None:
    # A constant hazard of 1/20 a month, whatever the age: Poisson counts of mean 3 in 60 months (SciPy).
    sample = sample_costs(process(1.0, 20.0, first, cost=1.0), 60, 0.0, HISTORIES, np.random.default_rng(3))
    seen = np.bincount(sample.costs.astype(int), minlength=10)
    expected = stats.poisson.pmf(np.arange(9), 3) * HISTORIES
    seen, expected = np.append(seen[:9], seen[9:].sum()), np.append(expected, HISTORIES - expected.sum())
    assert stats.chisquare(seen, expected).pvalue > 1e-4
    assert sample.unlike == HISTORIES - max(np.bincount(sample.costs.astype(int)))


def test_quantiles_of_counts_are_those_of_the_poisson_law() -> None:
    (drawn,) = simulate(option("repair", 500.0, process(1.0, 20.0))).options
    assert [drawn.p10, drawn.p50, drawn.p90] == [
        500 + 1_000 * n for n in stats.poisson.ppf([0.1, 0.5, 0.9], 3)
    ]


def test_quantiles_of_one_discounted_failure_are_those_of_its_time() -> None:
    # SciPy's Weibull law. Two failures within 30 months have a chance of some 1e-4 (our estimate), so the
    # total is 1,000 v^T, or 0 where T > 30: at most 1,000 v^t with chance S(t).
    wanted = []
    for share in (0.1, 0.5, 0.9):
        later = stats.weibull_min.isf(share, 10.0, scale=25.0)
        wanted.append(1_000 * 1.1 ** (-later / 12))
    (drawn,) = simulate(option("repair", 0.0, process(10.0, 25.0)), months=30, rate=0.1).options
    assert [drawn.p10, drawn.p50, drawn.p90] == pytest.approx(wanted, rel=2e-3)


def test_what_never_fails_costs_what_it_costs_now_and_what_is_worn_out_fails_at_once() -> None:
    sound = option("repair", 700.0, process(10.0, 1e6))
    spent = option("used", 300.0, process(10.0, 1e6, AgedLife(1e9), cost=450.0))
    drawn = simulate(sound, spent, rate=0.2).options
    for each, total in zip(drawn, (700.0, 750.0), strict=True):
        assert [each.mean, each.p10, each.p50, each.p90] == pytest.approx([total] * 4, rel=1e-12)
    assert [each.probability_cheapest for each in drawn] == [1.0, 0.0]
    assert [each.repair_cheaper_probability for each in drawn] == [None, 1.0]


def test_covered_failures_cost_the_covered_cost_up_to_the_last_covered_month() -> None:
    # Poisson again: 1 failure expected in the 20 months covered, 2 in the 40 after; costs 100 and 1,000.
    covered = process(1.0, 20.0, covered_cost=100.0, covered_until=20.0)
    (drawn,) = simulate(option("repair", 0.0, covered)).options
    assert abs(drawn.mean - 2_100) < 4 * drawn.standard_error
    assert drawn.standard_error == pytest.approx(math.sqrt((1 * 100**2 + 2 * 1_000**2) / HISTORIES), rel=0.03)
    wholly = process(1.0, 20.0, cost=1e9, covered_cost=0.0, covered_until=60.0)
    assert simulate(option("repair", 5.0, wholly)).options[0].mean == 5.0


def test_chances_are_those_of_counts_and_ties_go_to_the_lower_cost_now() -> None:
    # The repair, 100 and 150 a failure, meets 250 at one failure: it is cheaper there for its 100 now.
    failing = process(1.0, 60.0, cost=150.0)
    dear = option("new", 250.0, process(10.0, 1e6))
    drawn = simulate(option("repair", 100.0, failing), dear).options
    up_to_one, error = stats.poisson.cdf(1, 1), 4 * math.sqrt(0.25 / HISTORIES)
    assert drawn[1].repair_cheaper_probability == pytest.approx(up_to_one, abs=error)
    assert drawn[0].probability_cheapest == drawn[1].repair_cheaper_probability
    # The other way about, the tie is the replacement's: the repair must be strictly cheaper.
    drawn = simulate(option("repair", 250.0), option("new", 100.0, failing)).options
    assert drawn[1].repair_cheaper_probability == pytest.approx(1 - up_to_one, abs=error)
    assert sum(each.probability_cheapest for each in drawn) == pytest.approx(1.0, abs=1e-12)


def test_equal_totals_at_equal_cost_now_go_to_the_first_and_decimals_do_not_break_a_tie() -> None:
    drawn = simulate(option("repair", 300.0), option("a", 300.0), option("b", 300.0)).options
    assert [each.probability_cheapest for each in drawn] == [1.0, 0.0, 0.0]
    assert [each.repair_cheaper_probability for each in drawn] == [None, 1.0, 1.0]
    spent = [process(10.0, 1e6, AgedLife(1e9), name=str(each), cost=0.1) for each in range(2)]
    drawn = simulate(option("repair", 0.3), option("a", 0.1, *spent)).options  # 0.1 + 0.1 + 0.1 > 0.3
    assert [each.probability_cheapest for each in drawn] == [0.0, 1.0]
    assert drawn[1].repair_cheaper_probability == 0.0


def test_another_option_process_or_order_leaves_the_draws_of_the_others_alone() -> None:
    worn, brushes = process(2.0, 50.0, AgedLife(30.0), name="contact_disc"), process(3.0, 70.0)
    repair, new = option("repair", 100.0, worn, brushes), option("new", 900.0, process(2.0, 40.0))
    used = option("used", 400.0, process(2.0, 40.0))
    pair, three = simulate(repair, new).options, simulate(repair, used, new).options
    for before, after in zip(pair, (three[0], three[2]), strict=True):
        assert (before.mean, before.p10, before.p50, before.p90) == (
            after.mean,
            after.p10,
            after.p50,
            after.p90,
        )
    assert pair[1].repair_cheaper_probability == three[2].repair_cheaper_probability
    alone = [simulate(option("repair", 0.0, each)).options[0].mean for each in (worn, brushes)]
    assert pair[0].mean == pytest.approx(100 + sum(alone), rel=1e-12)
    swapped = simulate(option("repair", 100.0, brushes, worn), new).options[0]
    assert swapped.mean == pytest.approx(pair[0].mean, rel=1e-12)


def test_like_processes_of_other_names_or_options_fail_independently() -> None:
    # Two Poisson counts of mean 1.5 add up to one of mean 3, if independent; in step they would be even.
    twins = [process(1.0, 40.0, name=name) for name in ("battery_side_contact", "motor_side_contact")]
    wanted = [1_000 * n for n in stats.poisson.ppf([0.1, 0.5, 0.9], 3)]
    for pair in (twins, twins[:1] * 2):  # even where the names are the same
        both = simulate(option("repair", 0.0, *pair)).options[0]
        assert [both.p10, both.p50, both.p90] == wanted
    # Each of two like options is the cheaper as often, but for the histories that they share by chance.
    rivals = [option(name, 0.0, process(1.0, 30.0)) for name in ("repair", "new")]
    drawn = simulate(*rivals, rate=0.1).options
    # Both are without a failure with chance e^-4, and tie: to the repair.
    assert drawn[1].repair_cheaper_probability == pytest.approx((1 + math.exp(-4)) / 2, abs=0.015)


def test_one_seed_gives_one_answer_and_another_seed_another() -> None:
    options = (option("repair", 100.0, process(2.0, 50.0)), option("new", 900.0, process(2.0, 90.0)))
    assert simulate(*options, seed=5) == simulate(*options, seed=5)
    assert simulate(*options, seed=5) != simulate(*options, seed=6)
    told = simulate(*options, seed=5, histories=300)
    assert (told.seed, told.histories) == (5, 300)


def test_a_failure_too_rare_to_be_drawn_still_has_a_standard_error() -> None:
    # At most one failure matters, of chance p: variance c^2 p (1 - p), the binomial law's.
    rare = process(3.0, 50_000.0)
    chance = -math.expm1(-((60 / 50_000) ** 3))
    (drawn,) = simulate(option("repair", 10.0, rare)).options
    assert drawn.mean == drawn.p90 == 10.0
    assert drawn.standard_error == pytest.approx(1_000 * math.sqrt(chance / HISTORIES), rel=1e-3)


def test_more_mean_lives_than_are_drawn_are_refused_with_their_figures() -> None:
    bounded = process(1.0, 60 / MOST_MEAN_LIVES)
    assert simulate(option("repair", 0.0, bounded), histories=100).options[0].mean > 0
    with pytest.raises(TooManyFailures) as refused:
        simulate(option("repair", 0.0, process(1.0, 0.2, name="contact_disc")))
    assert attrs.astuple(refused.value) == ("contact_disc", pytest.approx(300), 60, MOST_MEAN_LIVES)
    assert refused.value.explain() == "contact_disc: 300 mean lives in 60 months; expected 200 at most."
    fault = refused.value.as_fault("positions", 0, "life")
    assert (fault.path, fault.code) == (("positions", 0, "life"), "too_many_failures")
    assert (fault.value, fault.expected) == ("300 mean lives in 60 months", "200 mean lives at most")


def test_the_failures_of_all_options_together_are_bounded() -> None:
    crowd = [process(1.0, 0.5, name=str(each)) for each in range(17)]  # 120 mean lives each
    options = [option("repair", 0.0, *crowd[:16]), option("new", 0.0, crowd[16])]
    assert simulate(options[0], histories=10).options[0].mean > 0
    with pytest.raises(TooManyFailures) as refused:
        simulate(*options, histories=10)
    assert refused.value.mean_lives == pytest.approx(2_040)
    assert refused.value.explain().startswith(
        "all positions and replacements together: 2040 mean lives in 60"
    )
