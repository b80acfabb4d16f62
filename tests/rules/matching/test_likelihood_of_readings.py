"""Slips, miscounts, what is not recorded and what does not apply; and odd numbers of teeth."""

import math

import attrs
import numpy as np
import pytest
from bush_kind import BORE, BUSHING, HOLES, LENGTH, NO_FLANGE, OIL, counted, read, seen, size, table
from scipy import integrate, stats

from api.matching.likelihoods.likelihood import log_even, log_likelihood, log_slip
from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, LengthReading
from tests.size_rows import SizeRow, build_size_table


def likelihoods(reading, *rows):
    dimension = BUSHING.dimension(reading.dimension)
    return np.exp(log_likelihood(dimension, reading, table(*rows)))


def test_a_length_has_the_density_less_the_slips_plus_the_slips_over_the_span():
    exact = size("A", bore=(12_500_000, 12_500_000))
    (ours,) = likelihoods(read("bore", 12.56), exact)
    # SciPy's exponentially modified normal: shape = wear scale over uncertainty.
    f = stats.exponnorm.pdf(60_000, 80_000 / 23_300, scale=23_300)
    assert ours == pytest.approx(0.98 * f + 0.02 / 36_000_000, rel=1e-12)


def test_an_unworn_surface_has_no_wear_in_its_density():
    exact = size("A", bore=(12_500_000, 12_500_000))
    (ours,) = likelihoods(read("bore", 12.56, worn=False), exact)
    f = stats.norm.pdf(60_000, scale=23_300)
    assert ours == pytest.approx(0.98 * f + 0.02 / 36_000_000, rel=1e-12)


def test_far_off_only_the_slip_is_left():
    far = likelihoods(read("bore", 30.0), size("A", bore=12.5))
    assert far[0] == 0.02 / 36_000_000 or far[0] == pytest.approx(0.02 / 36_000_000, rel=1e-14)


@pytest.mark.parametrize("sense", ["grows", "shrinks", "none"])
@pytest.mark.parametrize("uncertainty_nm", [500.0, 23_300.0, 400_000.0])
def test_what_is_not_computed_would_not_have_changed_the_sum(sense, uncertainty_nm):
    """Over the whole span, far beyond where the density is left out, the sum is SciPy's."""
    scale = 80_000 if sense != "none" else 0.0
    dimension = attrs.evolve(BORE, wear_sense=sense, wear_scale_nm=scale)
    kind = KindModel(kind="x", dimensions=(dimension,))
    sizes = build_size_table(kind, [SizeRow(code="A", values={"bore": (20_000_000, 20_000_000)})])
    values = np.linspace(4e6, 40e6, 3001)
    ours = [log_likelihood(dimension, read("bore", v / 1e6, uncertainty_nm), sizes)[0] for v in values]
    offsets = 20_000_000 - values if sense == "shrinks" else values - 20_000_000
    if sense == "none":
        density = stats.norm.pdf(offsets, scale=uncertainty_nm)
    else:
        density = stats.exponnorm.pdf(offsets, scale / uncertainty_nm, scale=uncertainty_nm)
    np.testing.assert_allclose(ours, np.log(0.98 * density + 0.02 / 36_000_000), rtol=0, atol=1e-9)


def test_what_a_size_does_not_record_is_as_likely_as_under_unlisted():
    for reading in (read("bore", 12.6), counted(2), seen("hole")):
        dimension = BUSHING.dimension(reading.dimension)
        (ours,) = log_likelihood(dimension, reading, table(size("A")))
        assert ours == log_even(dimension, reading)


def test_what_does_not_apply_leaves_only_the_slip():
    rows = size("A", flange=NO_FLANGE, holes=NO_FLANGE, oil=NO_FLANGE)
    assert likelihoods(read("flange_diameter", 20.0), rows)[0] == pytest.approx(0.02 / 52_000_000)
    assert likelihoods(counted(2), rows)[0] == pytest.approx(0.001 / 1.007)  # the floor, normalised
    assert likelihoods(seen("hole"), rows)[0] == pytest.approx(0.03 / 2)
    assert log_slip(OIL) == pytest.approx(math.log(0.015))


def test_a_feature_seen_to_be_absent_speaks_for_sizes_without_it():
    absent = AbsentReading(dimension="flange_diameter")
    rows = (size("A", flange=NO_FLANGE), size("B", flange=20.0), size("C"))
    assert likelihoods(absent, *rows) == pytest.approx([0.98, 0.02, 0.5])
    assert math.exp(log_even(BUSHING.dimension("flange_diameter"), absent)) == pytest.approx(0.5)


def test_counts_equal_one_off_beyond_and_at_the_end_of_the_range():
    row = size("A", holes=4)
    total = 0.96 + 2 * 0.02 + 7 * 0.001  # floor: slip chance 0.01 over 10 counts
    got = [likelihoods(counted(n), row)[0] for n in range(10)]
    assert got[4] == pytest.approx(0.96 / total)
    assert got[3] == got[5] == pytest.approx(0.02 / total)
    assert got[9] == pytest.approx(0.001 / total)
    assert sum(got) == pytest.approx(1.0)
    at_end = [likelihoods(counted(n), size("A", holes=0))[0] for n in range(10)]
    assert at_end[0] == pytest.approx(0.96 / (0.96 + 0.02 + 8 * 0.001))
    assert sum(at_end) == pytest.approx(1.0)


def test_the_floor_of_a_count_is_never_above_one_off():
    sure = attrs.evolve(HOLES, miscount_chance=1e-6)
    kind = KindModel(kind="x", dimensions=(sure,))
    sizes = build_size_table(kind, [SizeRow(code="A", values={"holes": 4})])
    near, beyond = (log_likelihood(sure, counted(n), sizes)[0] for n in (5, 8))
    assert beyond <= near


def test_choices_share_the_miscount_evenly():
    got = [likelihoods(seen(choice), size("A", oil="hole"))[0] for choice in OIL.choices]
    assert got == pytest.approx([0.015, 0.97, 0.015])


def test_an_only_choice_is_certain():
    only = attrs.evolve(OIL, choices=("hole",))
    kind = KindModel(kind="x", dimensions=(only,))
    sizes = build_size_table(kind, [SizeRow(code="A", values={"oil_supply": "hole"})])
    assert log_likelihood(only, seen("hole"), sizes)[0] == 0.0
    assert math.exp(log_slip(only)) == pytest.approx(only.miscount_chance)


def caliper_over_tips(teeth, tip_diameter):
    """Return the greatest distance between two parallel jaws over the tips of a wheel, by turning it."""
    tips = 0.5 * tip_diameter * np.exp(2j * np.pi * np.arange(teeth) / teeth)
    turned = tips[:, None] * np.exp(1j * np.linspace(0, 2 * np.pi / teeth, 20_001))
    return float((turned.real.max(axis=0) - turned.real.min(axis=0)).max())


TEETH = DimensionModel(code="teeth", measure="count", how="count", span_lower=6, span_upper=20)
TIPS = attrs.evolve(LENGTH, code="tip_diameter", two_point_over="teeth", wear_scale_nm=150_000)
CLUTCH = KindModel(kind="drive_clutch", dimensions=(TEETH, TIPS))


def clutch_table(*rows):
    return build_size_table(CLUTCH, [SizeRow(code=code, values=values) for code, values in rows])


def over_tips(value_nm, **more):
    return LengthReading(dimension="tip_diameter", value_nm=value_nm, uncertainty_nm=10_000, **more)


@pytest.mark.parametrize("teeth", [8, 9, 11, 13])
def test_a_caliper_across_the_tips_finds_the_size_whatever_its_number_of_teeth(teeth):
    reading = over_tips(caliper_over_tips(teeth, 30_000_000))
    sizes = clutch_table(("A", {"teeth": teeth, "tip_diameter": (30_000_000, 30_000_000)}))
    other = clutch_table(("A", {"teeth": teeth, "tip_diameter": (31_000_000, 31_000_000)}))
    (ours,), (theirs,) = (log_likelihood(TIPS, reading, table) for table in (sizes, other))
    assert ours > theirs + 2.0
    f = density_over_tips(reading.value_nm, teeth, 30_000_000, wear=150_000, u=10_000)
    assert math.exp(ours) == pytest.approx(0.98 * f + 0.02 / 57_000_000, rel=1e-6)


def density_over_tips(read, teeth, tip, wear, u):
    """SciPy's exponentially modified normal, averaged by quadrature over the widths that a land may give."""
    pointed = math.pi / 2 / teeth
    low, high = (
        (tip * math.cos(pointed), tip * math.cos(pointed - 0.8 / (teeth + 2.6))) if teeth % 2 else (tip, tip)
    )

    def of_width(width):
        return stats.exponnorm.pdf(width - read, wear * high / tip / u, scale=u)

    if low == high:
        return of_width(low)
    cuts = [read + k * wear for k in (0.1, 0.5, 1, 2) if low < read + k * wear < high]
    return integrate.quad(of_width, low, high, points=cuts, limit=500, epsrel=1e-10)[0] / (high - low)


@pytest.mark.parametrize(("teeth", "shift", "addendum"), [(9, 0.5, 0.83), (11, 0.5, 0.8), (13, 0.4, 0.8)])
def test_tips_with_the_land_of_a_starter_pinion_are_explained(teeth, shift, addendum):
    """The land by the involute (ISO 21771: s_a = d_a (s/d + inv a - inv a_a)); the width by geometry."""
    module, angle = 2.54e6, math.radians(20)
    tip = module * (teeth + 2 * shift + 2 * addendum)
    at_tip = math.acos(module * teeth * math.cos(angle) / tip)
    thickness = module * (math.pi / 2 + 2 * shift * math.tan(angle)) / (module * teeth)
    involute = math.tan(angle) - angle - math.tan(at_tip) + at_tip
    half_land = thickness + involute  # land over tip diameter: half the angle it spans
    read = tip * math.cos(math.pi / 2 / teeth - half_land)
    sizes = clutch_table(("A", {"teeth": teeth, "tip_diameter": (round(tip), round(tip))}))
    (ours,) = log_likelihood(TIPS, over_tips(read), sizes)
    assert ours > log_slip(TIPS) + math.log(2)


def test_only_sizes_with_odd_teeth_are_compared_in_the_corrected_scale():
    limits = (30_000_000, 30_018_000)
    rows = [("even", {"teeth": 10, "tip_diameter": limits}), ("odd", {"teeth": 9, "tip_diameter": limits})]
    low = over_tips(30_009_000 * math.cos(math.pi / 18))
    even, odd = log_likelihood(TIPS, low, clutch_table(*rows))
    assert odd > even
    plain = over_tips(30_009_000, two_point=False)
    even, odd = log_likelihood(TIPS, plain, clutch_table(*rows))
    assert odd == even


def test_a_tip_diameter_without_a_recorded_number_of_teeth_tells_nothing():
    sizes = clutch_table(("A", {"tip_diameter": (30_000_000, 30_018_000)}))
    assert log_likelihood(TIPS, over_tips(30_000_000), sizes)[0] == TIPS.log_even
