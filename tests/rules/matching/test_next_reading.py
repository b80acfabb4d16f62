"""What to measure next: closed cases, a brute-force quadrature, and a seeded simulation."""

import math

import attrs
import numpy as np
import pytest
from bush_kind import BORE, BUSHING, LENGTH, NO_FLANGE, OIL, counted, read, seen, size, table

from api.matching.advice.next_reading import advise_next_reading
from api.matching.advice.split import LEAST_PART
from api.matching.likelihoods.density import log_density
from api.matching.likelihoods.posterior import group_probabilities
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import LengthReading
from tests.size_rows import SizeRow, build_size_table
from tests.whole_tables import group_sizes, weigh_sizes

U_NM = 23_300.0
ALL = {"bore": U_NM, "length": U_NM, "flange_diameter": U_NM}
SURE = attrs.evolve(BUSHING, unlisted_prior=1e-9)


def advise(kind, sizes, *readings, uncertainty_nm=ALL, worn=True):
    posterior = weigh_sizes(kind, sizes, readings)
    return advise_next_reading(kind, sizes, posterior, group_sizes(kind, sizes), uncertainty_nm, worn)


def gains(advice):
    return {one.dimension: one.gain_bits for one in advice.all}


def test_two_far_apart_sizes_equally_likely_are_one_bit_less_the_slips():
    """A slip (chance 0.02, even over the span) tells nothing: 1 bit times 0.98, closed form."""
    got = gains(advise(SURE, table(size("A", bore=12.5), size("B", bore=16.0))))
    assert got["bore"] == pytest.approx(0.98, abs=0.01)
    assert got["length"] == got["holes"] == pytest.approx(0.0, abs=1e-6)


def test_four_far_apart_sizes_are_two_bits_less_the_slips():
    sizes = table(*(size(f"S{n}", flange=18.0 + 3 * n) for n in range(4)))
    assert gains(advise(SURE, sizes))["flange_diameter"] == pytest.approx(2 * 0.98, abs=0.01)


def binary_entropy(chance):
    return -sum(p * math.log2(p) for p in (chance, 1 - chance) if p > 0)


def test_a_choice_between_two_is_a_channel_with_its_miscounts():
    """Two values, right with chance 1 - m: the capacity of a binary symmetric channel, 1 - H(m)."""
    two = attrs.evolve(OIL, choices=("hole", "groove"))
    kind = KindModel(kind="x", dimensions=(BORE, two), unlisted_prior=1e-9)
    rows = [
        SizeRow(code=c, values={"bore": b, "oil_supply": o})
        for c, b, o in (("A", (12_500_000, 12_500_010), "hole"), ("B", (12_500_000, 12_500_010), "groove"))
    ]
    sizes = build_size_table(kind, rows)
    got = gains(advise(kind, sizes))
    assert got["oil_supply"] == pytest.approx(1 - binary_entropy(0.03), abs=1e-6)


def test_a_count_by_its_own_matrix():
    sizes = table(size("A", holes=2), size("B", holes=3))
    total = 0.96 + 2 * 0.02 + 7 * 0.001
    a = np.array([0.001, 0.02, 0.96, 0.02] + [0.001] * 6) / total
    b = np.array([0.001, 0.001, 0.02, 0.96, 0.02] + [0.001] * 5) / total
    mean = (a + b) / 2
    expected = sum(0.5 * float((p * np.log2(p / mean)).sum()) for p in (a, b))
    assert gains(advise(SURE, sizes))["holes"] == pytest.approx(expected, abs=1e-6)


def test_a_feature_that_one_of_two_sizes_lacks_tells_them_apart():
    sizes = table(size("A", bore=12.5, flange=NO_FLANGE), size("B", bore=12.5, flange=18.0))
    advice = advise(SURE, sizes)
    assert advice.dimension == "flange_diameter"
    assert advice.gain_bits == pytest.approx(1.0, abs=0.07)
    absent = advice.split[-1]
    assert absent.absent
    assert absent.group == "A"
    assert absent.chance == pytest.approx(0.98 / 2, abs=1e-6)


def test_only_what_is_unread_and_can_be_measured_is_advised():
    sizes = table(size("A", bore=12.5, length=12.0), size("B", bore=12.5, length=15.0))
    got = gains(advise(BUSHING, sizes, read("bore", 12.55), uncertainty_nm={"bore": U_NM, "length": U_NM}))
    assert set(got) == {"length", "holes", "oil_supply"}
    assert max(got, key=got.get) == "length"


def test_with_everything_read_nothing_is_advised():
    sizes = table(size("A", bore=12.5))
    assert advise(BUSHING, sizes, counted(2), seen("hole"), uncertainty_nm={}) is None


def test_an_empty_catalogue_gains_nothing():
    advice = advise(BUSHING, table())
    assert set(gains(advice).values()) == {0.0}
    assert all(part.group is None for part in advice.split)


def test_groups_that_are_ruled_out_altogether_gain_nothing():
    """Where every size's probability is 0 in double precision only the unlisted alternative is left."""
    sizes = table(size("A", bore=12.5), size("B", bore=16.0))
    ruled_out = attrs.evolve(
        weigh_sizes(BUSHING, sizes, []), size_probability=np.zeros(2), unlisted_probability=1.0
    )
    advice = advise_next_reading(BUSHING, sizes, ruled_out, group_sizes(BUSHING, sizes), ALL)
    assert set(gains(advice).values()) == {0.0}


def test_the_split_names_the_groups_and_where_they_part():
    sizes = table(size("A", flange=18.0), size("B", flange=21.0))
    advice = advise(BUSHING, sizes)
    assert advice.dimension == "flange_diameter"
    assert advice.gain_bits == gains(advice)["flange_diameter"]
    stretches = {part.group: part for part in advice.split if part.group is not None}
    assert set(stretches) == {"A", "B"}
    a, b = stretches["A"], stretches["B"]
    assert a.from_nm < 18_000_000 < 18_018_000 < a.to_nm < b.from_nm < 21_000_000 < b.to_nm
    assert a.chance == pytest.approx(0.98 * 0.475, abs=0.005)
    assert a.group_probability > 0.99
    assert all(part.chance >= LEAST_PART for part in advice.split)
    assert sum(part.chance for part in advice.split) == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize("apart_nm", [60_000, 80_010])
@pytest.mark.parametrize("width_nm", [0, 9_000, 300_000])
def test_two_alike_sizes_part_half_way_between_them(apart_nm, width_nm):
    """By symmetry: a reading half way between two equally likely alike intervals is as likely from either."""
    starts = (20_000_000, 20_000_000 + width_nm + apart_nm)
    rows = [SizeRow(code=f"S{n}", values={"bore": (s, s + width_nm)}) for n, s in enumerate(starts)]
    kind = KindModel(kind="x", dimensions=(BORE,), unlisted_prior=1e-9)
    advice = advise(kind, build_size_table(kind, rows), uncertainty_nm={"bore": U_NM}, worn=False)
    first, second, *beyond = advice.split
    half_way = (starts[0] + width_nm + starts[1]) / 2
    assert first.to_nm == second.from_nm == pytest.approx(half_way, abs=0.05 * U_NM)
    assert (first.group, second.group) == ("S0", "S1")
    assert sum(one.chance for one in beyond) < 0.02
    in_span = 0.02 * (half_way - BORE.span_lower) / BORE.span_nm
    assert first.chance == pytest.approx(0.98 / 2 + in_span, abs=0.002)


def test_a_size_of_next_to_no_share_in_its_group_changes_nothing():
    """One listed ten thousand million times beside one never listed, in one group: the share rounds off."""
    alone = [size("A", bore=12.5, listings=10**10), size("C", bore=16.0, listings=10**10)]
    overlapping = size("B", bore=12.505)
    got = gains(advise(SURE, table(*alone, overlapping)))
    assert got["bore"] == pytest.approx(gains(advise(SURE, table(*alone)))["bore"], abs=1e-4)


def test_the_split_of_counts_and_choices_names_values():
    sizes = table(size("A", holes=2, oil="hole"), size("B", holes=5, oil="groove"))
    advice = advise(SURE, sizes, counted(2))
    assert advice.dimension == "oil_supply"
    assert {part.value for part in advice.split} <= {"none", "hole", "groove"}
    by_count = advise(SURE, sizes, seen("hole"), uncertainty_nm={})
    assert by_count.dimension == "holes"
    assert {2: "A"}.items() <= {part.value: part.group for part in by_count.split}.items()


def by_fine_quadrature(kind, dimension, hypotheses, uncertainty_nm):
    """Return the bits from densities on an even grid of 1/10 u over the span and beyond.

    `hypotheses`: (probability, None or (lower, upper)).
    """
    grid = np.arange(dimension.span_lower - 3e6, dimension.span_upper + 3e6, uncertainty_nm / 10)
    even = np.where((grid >= dimension.span_lower) & (grid <= dimension.span_upper), 1 / dimension.span_nm, 0)
    e, rows, prior = dimension.slip_chance, [], []
    for probability, limits in hypotheses:
        prior.append(probability)
        if limits is None:
            rows.append(even)
            continue
        wear = (dimension.wear_scale_nm, dimension.wear_sense)
        rows.append((1 - e) * np.exp(log_density(grid, *limits, uncertainty_nm, *wear)) + e * even)
    densities, prior = np.array(rows), np.array(prior)
    mean = prior @ densities
    ratio = np.divide(densities, mean, out=np.ones_like(densities), where=densities > 0)
    return float(prior @ (densities * np.log2(ratio)).sum(axis=1)) * uncertainty_nm / 10


@pytest.mark.parametrize("dimension", [BORE, LENGTH, BUSHING.dimension("flange_diameter")])
@pytest.mark.parametrize("uncertainty_nm", [2_000.0, U_NM, 170_000.0])
@pytest.mark.parametrize("step_nm", [30_000, 100_000, 400_000])
def test_gains_are_within_a_hundredth_bit_of_fine_quadrature(dimension, uncertainty_nm, step_nm):
    starts = [20_000_000 + step_nm * n for n in range(6)]
    rows = [
        SizeRow(code=f"S{n}", values={dimension.code: (s, s + 18_000)}, listings=n)
        for n, s in enumerate(starts)
    ]
    kind = KindModel(kind="x", dimensions=(dimension,), unlisted_prior=0.05)
    sizes = build_size_table(kind, rows)
    got = gains(advise(kind, sizes, uncertainty_nm={dimension.code: uncertainty_nm}))[dimension.code]
    hypotheses = [(0.95 * (n + 1) / 21, (s, s + 18_000)) for n, s in enumerate(starts)]
    expected = by_fine_quadrature(kind, dimension, [*hypotheses, (0.05, None)], uncertainty_nm)
    assert got == pytest.approx(expected, abs=0.01)


def test_an_unworn_surface_tells_more_than_a_worn_one():
    sizes = table(size("A", bore=12.5), size("B", bore=12.6))
    worn = gains(advise(BUSHING, sizes))["bore"]
    assert gains(advise(BUSHING, sizes, worn=False))["bore"] > worn + 0.1


def entropy(probabilities):
    kept = probabilities[probabilities > 0]
    return -float((kept * np.log2(kept)).sum())


def test_gains_are_those_of_a_seeded_simulation():
    """Draw a part, wear and measure it, search again: the mean fall of entropy, within 4 standard errors."""
    rng = np.random.default_rng(404)
    rows = [
        size("A", bore=12.5, length=12.0, listings=3),
        size("B", bore=12.51, length=12.4),
        size("C", bore=12.6, length=12.4, listings=1),
        size("D", bore=12.75, length=13.0),
        size("E", length=12.0, bore=12.75),
    ]
    kind = attrs.evolve(BUSHING, unlisted_prior=0.1)
    sizes = table(*rows)
    grouping = group_sizes(kind, sizes)
    readings = (read("length", 12.02),)
    posterior = weigh_sizes(kind, sizes, readings)
    before = np.append(group_probabilities(posterior, grouping), posterior.unlisted_probability)
    falls = []
    weights = np.append(posterior.size_probability, posterior.unlisted_probability)
    for drawn in rng.choice(len(weights), size=3000, p=weights):
        value = rng.uniform(BORE.span_lower, BORE.span_upper)
        if drawn < len(sizes) and rng.random() >= BORE.slip_chance:
            made = rng.uniform(sizes.columns["bore"].lower[drawn], sizes.columns["bore"].upper[drawn])
            value = made + rng.exponential(BORE.wear_scale_nm) + rng.normal(0, U_NM)
        again = weigh_sizes(kind, sizes, (*readings, read("bore", value / 1e6)))
        after = np.append(group_probabilities(again, grouping), again.unlisted_probability)
        falls.append(entropy(before) - entropy(after))
    error = np.std(falls) / math.sqrt(len(falls))
    got = gains(advise(kind, sizes, *readings))["bore"]
    assert got > 0.3
    assert abs(got - np.mean(falls)) < 4 * error


TEETH = DimensionModel(code="teeth", measure="count", how="count", span_lower=6, span_upper=20)
TIPS = attrs.evolve(LENGTH, code="tip_diameter", two_point_over="teeth", wear_sense="none", wear_scale_nm=0)
CLUTCH = KindModel(kind="drive_clutch", dimensions=(TEETH, TIPS), unlisted_prior=1e-9)


def test_one_tip_diameter_with_odd_and_even_teeth_reads_differently_across_the_tips():
    """30 mm with 9 teeth reads 29.544 mm, with 10 teeth 30 mm: one bit less the slips."""
    limits = (30_000_000, 30_018_000)
    rows = [
        SizeRow(code="even", values={"teeth": 10, "tip_diameter": limits}),
        SizeRow(code="odd", values={"teeth": 9, "tip_diameter": limits}),
    ]
    sizes = build_size_table(CLUTCH, rows)
    got = gains(advise(CLUTCH, sizes, uncertainty_nm={"tip_diameter": U_NM}))
    assert got["tip_diameter"] == pytest.approx(0.98, abs=0.01)
    posterior = weigh_sizes(
        CLUTCH, sizes, [LengthReading(dimension="tip_diameter", value_nm=29_553_000, uncertainty_nm=U_NM)]
    )
    assert posterior.size_probability[1] > 0.99
