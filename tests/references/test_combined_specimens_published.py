"""Readings of several specimens combined, against published values and closed forms."""

import math

import mpmath
import pytest

from api.records.combine_lengths import SpecimenReading, combine_lengths

TRIALS = [
    (4, 119, 11, 128),
    (6, 300, 29, 274),
    (3, 228, 11, 209),
    (62, 13536, 248, 12619),
    (33, 5036, 47, 5761),
    (180, 1361, 372, 1079),
    (8, 2537, 10, 619),
    (505, 87886, 499, 87892),
    (29, 7470, 45, 7232),
    (17, 1699, 65, 1600),
    (186, 50448, 141, 27197),
    (5, 2493, 3, 2338),
    (27, 16886, 29, 17825),
]
"""Thirteen vaccine trials, G. A. Colditz et al., JAMA 271 (1994) 698: ill and well, treated and not."""

SCALE = 10**9
"""Nanometres that stand for one unit of the trials' log risk ratios."""


def by_tools_of_their_own(pairs: list[tuple[float, float]], scale: float) -> list[SpecimenReading]:
    """Return readings (value, standard uncertainty) of one specimen each, with an instrument each."""
    return [
        SpecimenReading(str(place), (round(value * scale),), str(place), u * scale, 1e-3)
        for place, (value, u) in enumerate(pairs)
    ]


def log_risk_ratios() -> list[tuple[float, float]]:
    found = []
    for a, b, c, d in TRIALS:
        ratio = math.log(a / (a + b)) - math.log(c / (c + d))
        found.append((ratio, math.sqrt(1 / a - 1 / (a + b) + 1 / c - 1 / (c + d))))
    return found


def test_paule_and_mandels_between_term_on_thirteen_published_trials() -> None:
    """W. Viechtbauer, J. Stat. Softw. 36 (2010) 3 and the tests of its package metafor: Q 152.2330 with 12
    degrees of freedom and the fixed-effect mean -0.4303; the Paule-Mandel estimate 0.3181 and the standard
    error 0.1809 are from memory of that package's output, and are recomputed below."""
    readings = by_tools_of_their_own(log_risk_ratios(), SCALE)
    found = combine_lengths(readings, 0.0)
    assert found.chi_square == pytest.approx(152.2330, abs=5e-5)
    assert found.birge_ratio == pytest.approx(math.sqrt(152.2330 / 12), abs=1e-5)
    assert found.between_nm is not None
    assert (found.between_nm / SCALE) ** 2 == pytest.approx(0.3181, abs=5e-5)
    assert found.uncertainty_nm / SCALE == pytest.approx(0.1809, abs=5e-5)
    assert not found.is_consistent

    weights = [1 / u**2 for _, u in log_risk_ratios()]
    fixed = sum(w * y for w, (y, _) in zip(weights, log_risk_ratios(), strict=True)) / sum(weights)
    assert fixed == pytest.approx(-0.4303, abs=5e-5)


def test_the_between_term_solves_paule_and_mandels_equation_to_thirty_digits() -> None:
    """Recomputed with mpmath: sum of (y - mean)^2 / (s^2 + t) = n - 1."""
    found = combine_lengths(by_tools_of_their_own(log_risk_ratios(), SCALE), 0.0)
    with mpmath.workdps(30):
        told = [(mpmath.mpf(y), mpmath.mpf(u)) for y, u in log_risk_ratios()]

        def excess(t: mpmath.mpf) -> mpmath.mpf:
            weights = [1 / (u**2 + t) for _, u in told]
            mean = sum(w * y for w, (y, _) in zip(weights, told, strict=True)) / sum(weights)
            return sum(w * (y - mean) ** 2 for w, (y, _) in zip(weights, told, strict=True)) - 12

        t = mpmath.findroot(excess, 0.3)
        weights = [1 / (u**2 + t) for _, u in told]
        mean = sum(w * y for w, (y, _) in zip(weights, told, strict=True)) / sum(weights)
        assert found.between_nm is not None
        assert (found.between_nm / SCALE) ** 2 == pytest.approx(float(t), rel=1e-6)
        assert found.mean_nm / SCALE == pytest.approx(float(mean), abs=1e-8)
        assert found.uncertainty_nm / SCALE == pytest.approx(float(1 / mpmath.sqrt(sum(weights))), rel=1e-6)


def test_the_birge_ratio_of_three_values_by_the_weighted_mean() -> None:
    """R. T. Birge's formula worked by hand: 10.02(1), 10.05(2), 9.98(2): chi-square 149/24, ratio 1.7619;
    the chance of a chi-square as great with 2 degrees of freedom is exp(-chi-square / 2)."""
    found = combine_lengths(by_tools_of_their_own([(10.02, 0.01), (10.05, 0.02), (9.98, 0.02)], 1e6), 0.0)
    assert found.chi_square == pytest.approx(149 / 24, rel=1e-9)
    assert found.birge_ratio == pytest.approx(1.76186, abs=5e-6)
    assert found.chance == pytest.approx(math.exp(-149 / 48), rel=1e-9)
    assert not found.is_consistent


def test_equal_specimens_by_one_instrument_are_the_textbook_analysis_of_variance() -> None:
    """One-way random effects, a specimens of n repeats each (JCGM 100:2008, H.5): the variance
    between is that of the means less the pooled variance within over n; the mean has the variance of the
    means over a, and here the instrument's own besides. They are inconsistent where none may differ."""
    rows = [(12_510_000, 12_514_000), (12_540_000, 12_538_000), (12_519_000, 12_523_000)]
    found = combine_lengths(
        [SpecimenReading(str(k), row, "m", 5000.0, 10.0) for k, row in enumerate(rows)], 0
    )
    means = [sum(row) / 2 for row in rows]
    centre = sum(means) / 3
    of_means = sum((mean - centre) ** 2 for mean in means) / 2
    within = sum((row[0] - row[1]) ** 2 / 2 for row in rows) / 3
    assert found.mean_nm == pytest.approx(centre)
    assert found.between_nm == pytest.approx(math.sqrt(of_means - within / 2), rel=1e-6)
    assert found.uncertainty_nm == pytest.approx(math.sqrt(of_means / 3 + 5000.0**2), rel=1e-6)


def test_the_ten_days_of_a_zener_standard_of_the_gum() -> None:
    """JCGM 100:2008, H.5, table H.9 (from memory; its own mean and deviations agree): ten daily means of
    five voltages each with their deviations, in microvolts above 10 V; the mean 97, its deviation 18 with
    the days' differences in it, between days 43."""
    means = [172, 116, 13, 144, 106, 31, 60, 125, 163, 41]
    deviations = [60, 77, 111, 101, 67, 93, 80, 73, 88, 86]
    unit = 1_000_000
    days = []
    for day, (mean, s) in enumerate(zip(means, deviations, strict=True)):
        off = round(math.sqrt(2) * s * unit)  # five values of that mean and deviation
        values = tuple(10_000 * unit + mean * unit + step for step in (-off, 0, 0, 0, off))
        days.append(SpecimenReading(str(day), values, "voltmeter", 1e-3, 1e-3))
    found = combine_lengths(days, 0.0)
    assert found.between_nm is not None
    assert (found.mean_nm / unit - 10_000) == pytest.approx(97.1, abs=0.01)
    assert found.between_nm / unit == pytest.approx(43, abs=0.6)
    assert found.uncertainty_nm / unit == pytest.approx(18, abs=0.1)
