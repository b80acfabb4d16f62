"""Permissible errors and standard uncertainties against published values."""

import math
from pathlib import Path

import pytest

from api.measurement.instrument_data import read_instruments
from api.measurement.instruments import Way
from api.measurement.lengths import parse_length
from api.measurement.uncertainty import (
    mean_nm,
    rectangular_nm,
    resolution_part_nm,
    scatter_part_nm,
    standard_uncertainty_nm,
)

INSTRUMENTS = read_instruments(
    (Path(__file__).parents[2] / "seed_catalog" / "instruments.toml").read_text(encoding="utf-8")
)


# DIN 862 (calipers), table of greatest permissible errors by measured length, with its note that
# inside and depth readings add 20 um, as printed in a one-page published summary titled "Caliper &
# micrometer accuracy standards"; the standard itself was not read.
@pytest.mark.parametrize(
    ("instrument", "mm", "um"),
    [
        ("digital_caliper", 50, 20),
        ("digital_caliper", 100, 20),
        ("digital_caliper", 200, 30),
        ("digital_caliper", 300, 30),
        ("digital_caliper", 400, 30),
        ("digital_caliper", 600, 30),
        ("vernier_caliper", 50, 50),
        ("vernier_caliper", 100, 50),
        ("vernier_caliper", 300, 50),
        ("vernier_caliper", 400, 60),
        ("vernier_caliper", 500, 70),
    ],
)
@pytest.mark.parametrize(("way", "more_um"), [("outside", 0), ("inside", 20), ("depth", 20)])
def test_calipers_err_as_din_862_permits(instrument: str, mm: int, um: int, way: Way, more_um: int) -> None:
    permitted = INSTRUMENTS[instrument].permissible_error_nm(way, mm * 1_000_000)
    assert permitted == (um + more_um) * 1_000


# DIN 863 (micrometers), same published summary.
@pytest.mark.parametrize(
    ("mm", "um"),
    [(25, 4), (25.001, 4), (50, 4), (50.001, 5), (75, 5), (100, 5), (100.001, 6), (125, 6), (150, 6)],
)
def test_micrometers_err_as_din_863_permits(mm: float, um: int) -> None:
    permitted = INSTRUMENTS["outside_micrometer"].permissible_error_nm("outside", round(mm * 1_000_000))
    assert permitted == um * 1_000


# Directive 2014/32/EU, annex X (MI-008), chapter I, table 1: class II a = 0.3 mm, b = 0.2, c = 0.2 mm;
# error a + b L with L in metres rounded up, c more from an end surface.
@pytest.mark.parametrize(("way", "mm"), [("outside", 0.3 + 0.2 * 1), ("depth", 0.3 + 0.2 * 1 + 0.2)])
def test_a_steel_rule_errs_as_class_ii_permits(way: Way, mm: float) -> None:
    permitted = INSTRUMENTS["steel_rule"].permissible_error_nm(way, 150_000_000)
    assert permitted == pytest.approx(mm * 1e6)


# GUM (JCGM 100:2008) F.2.2.1: "0.29 dx"; the digits by the reference package GTC 1.5.1.
@pytest.mark.parametrize(
    ("step_mm", "u_mm"),
    [
        (0.001, 0.000289),
        (0.01, 0.002887),
        (0.02, 0.005774),
        (0.05, 0.014434),
        (0.1, 0.028868),
        (0.5, 0.144338),
        (25.4 / 64, 0.114568),
        (0.0005 * 25.4, 0.003666),
    ],
)
def test_a_resolution_gives_0_29_of_a_step(step_mm: float, u_mm: float) -> None:
    assert resolution_part_nm(step_mm * 1e6) / 1e6 == pytest.approx(u_mm, abs=5e-7)


# GUM (JCGM 100:2008) 4.3.7: half-width over the root of three, 0.57735 a (GTC 1.5.1).
def test_a_rectangular_error_gives_0_577_of_its_half_width() -> None:
    assert rectangular_nm(1e6) / 1e6 == pytest.approx(0.57735, abs=5e-6)


# Follows from GUM 4.3.7 and F.2.2.1: digital caliper, 0.01 mm, error 0.02 mm: u 0.01190, U(k=2) 0.02380 mm.
def test_an_outside_reading_by_digital_caliper() -> None:
    u_nm = standard_uncertainty_nm(INSTRUMENTS["digital_caliper"], "outside", [12_000_000])
    assert u_nm / 1e6 == pytest.approx(0.01190, abs=5e-6)
    assert 2 * u_nm / 1e6 == pytest.approx(0.02380, abs=1e-5)


# The same with the 0.02 mm that DIN 862 adds inside, worked by hand:
# sqrt(0.04^2/3 + 0.01^2/12) = sqrt(0.000541667) = 0.023274 mm.
def test_a_bore_by_digital_caliper() -> None:
    values_nm = [parse_length("12.62 mm").nm]
    u_nm = standard_uncertainty_nm(INSTRUMENTS["digital_caliper"], "inside", values_nm)
    assert u_nm / 1e6 == pytest.approx(math.sqrt(0.000541667), rel=1e-6)
    assert round(u_nm / 1e6, 4) == 0.0233


# GUM (JCGM 100:2008) 4.2.3 and 4.4.3: the 20 temperature readings of the worked example, printed in
# table 1 with mean 100.145, s 1.489, s/sqrt(20) 0.333, here taken as millimetres.
# Observations and results from memory of the table (they bear each other out).
def test_the_scatter_of_the_guides_twenty_observations() -> None:
    observed = (
        "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 100.33 100.42 100.68 100.95 101.11"
    )
    observed += " 101.20 101.57 101.84 102.36 102.72"
    values_nm = [parse_length(f"{text} mm").nm for text in observed.split()]
    assert mean_nm(values_nm) == 100_145_000
    assert scatter_part_nm(values_nm) / 1e6 == pytest.approx(0.333, abs=5e-4)
