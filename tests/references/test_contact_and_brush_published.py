"""Threads, clearance holes, copper, brush clearances and wear limits against published values.

Every table names its source. "Public table" is one that quotes a standard whose own text was not read.
"""

import math

import pytest

from api.fit.brushes.brush_clearances import (
    BRUSH_BELOW_NOMINAL_NM,
    INCH_ROWS,
    METRIC_ROWS,
    PREFERRED_NM,
    published_clearance,
)
from api.fit.brushes.brush_length import discard_lengths, strictest
from api.fit.brushes.brush_load import OTHER_SPRINGS, PRESSURES_KPA, SPRING_NEWTONS
from api.fit.contacts.clearance_holes import clearance_holes
from api.fit.contacts.conductors import (
    DENSITY_KG_PER_CUBIC_METRE,
    RESISTIVITY_OHM_METRES,
    TEMPERATURE_COEFFICIENT_PER_KELVIN,
    adiabatic_rise_kelvin,
    resistance_ohms,
    resistivity_ratio,
)
from api.fit.contacts.contact_wear import WEAR_LIMIT_NM
from api.fit.contacts.threads import crest_limits_nm, read_thread
from api.fit.judging.features import Feature
from api.fit.limits.tolerance_classes import limits_of

MM = 1_000_000
INCH = 25_400_000

# ISO 724 by its formulas D2 = D - 0.649519 P, D1 = D - 1.082532 P, d3 = D - 1.226869 P; M6, M8 and M10
# coarse as public thread tables print them (three decimals).
METRIC = (
    ("M4x0.7", 3.545, 3.242, 3.141),
    ("M5x0.8", 4.480, 4.134, 4.019),
    ("M6x1", 5.350, 4.917, 4.773),
    ("M8x1.25", 7.188, 6.647, 6.466),
    ("M8x1", 7.350, 6.917, 6.773),
    ("M10x1.5", 9.026, 8.376, 8.160),
    ("M10x1.25", 9.188, 8.647, 8.466),
    ("M12x1.75", 10.863, 10.106, 9.853),
)
# ASME B1.1: basic major, pitch, internal minor, external minor (UNR), inches, by formula; the internal
# minor diameters of 1/4, 5/16, 3/8 and 1/2 UNC also as public tables print them.
UNIFIED = (
    ("#8-32", 0.1640, 0.1437, 0.1302, 0.1257),
    ("#10-24", 0.1900, 0.1629, 0.1449, 0.1389),
    ("#10-32", 0.1900, 0.1697, 0.1562, 0.1517),
    ("1/4-20", 0.2500, 0.2175, 0.1959, 0.1887),
    ("1/4-28", 0.2500, 0.2268, 0.2113, 0.2062),
    ("5/16-18", 0.3125, 0.2764, 0.2524, 0.2443),
    ("5/16-24", 0.3125, 0.2854, 0.2674, 0.2614),
    ("3/8-16", 0.3750, 0.3344, 0.3073, 0.2983),
    ("3/8-24", 0.3750, 0.3479, 0.3299, 0.3239),
    ("1/2-13", 0.5000, 0.4500, 0.4167, 0.4056),
)


@pytest.mark.parametrize(("name", "pitch", "internal", "external"), METRIC)
def test_metric_threads_have_the_published_diameters(
    name: str, pitch: float, internal: float, external: float
) -> None:
    thread = read_thread(name)
    assert thread.pitch_diameter_nm / MM == pytest.approx(pitch, abs=0.00051)
    assert thread.internal_minor_nm / MM == pytest.approx(internal, abs=0.00051)
    assert thread.external_minor_nm / MM == pytest.approx(external, abs=0.00051)


@pytest.mark.parametrize(("name", "major", "pitch", "internal", "external"), UNIFIED)
def test_unified_threads_have_the_published_diameters(
    name: str, major: float, pitch: float, internal: float, external: float
) -> None:
    thread = read_thread(name)
    assert thread.major_nm / INCH == pytest.approx(major, abs=1e-9)
    assert thread.pitch_diameter_nm / INCH == pytest.approx(pitch, abs=0.000051)
    assert thread.internal_minor_nm / INCH == pytest.approx(internal, abs=0.000051)
    assert thread.external_minor_nm / INCH == pytest.approx(external, abs=0.000051)


# Public table of ISO 965 limits, external threads of class 6g: major diameter max and min, mm (M4, M5, M6
# read there; M8, M10 and M12 from memory).
@pytest.mark.parametrize(
    ("name", "most", "least"),
    [
        ("M4x0.7", 3.978, 3.838),
        ("M5x0.8", 4.976, 4.826),
        ("M6x1", 5.974, 5.794),
        ("M8x1.25", 7.972, 7.760),
        ("M10x1.5", 9.968, 9.732),
        ("M12x1.75", 11.966, 11.701),
    ],
)
def test_metric_studs_are_as_thick_as_class_6g_allows(name: str, most: float, least: float) -> None:
    assert crest_limits_nm(read_thread(name)) == (round(least * MM), round(most * MM))


# ASME B1.1 class 2A, major diameter max and min, inches: 1/4-20 min 0.2408, 5/16-18, 3/8-16 and 1/2-13
# (from memory; the formulas of the standard give the same).
@pytest.mark.parametrize(
    ("name", "most", "least"),
    [
        ("1/4-20", 0.2489, 0.2408),
        ("5/16-18", 0.3113, 0.3026),
        ("3/8-16", 0.3737, 0.3643),
        ("1/2-13", 0.4985, 0.4876),
    ],
)
def test_unified_studs_are_as_thick_as_class_2a_allows(name: str, most: float, least: float) -> None:
    assert crest_limits_nm(read_thread(name)) == (round(least * INCH), round(most * INCH))


# ISO 273: a public table of the fine, medium and coarse series; a second one agrees from M6 on.
@pytest.mark.parametrize(
    ("size", "fine", "medium", "coarse"),
    [
        ("M4", 4.3, 4.5, 4.8),
        ("M5", 5.3, 5.5, 5.8),
        ("M6", 6.4, 6.6, 7.0),
        ("M8", 8.4, 9.0, 10.0),
        ("M10", 10.5, 11.0, 12.0),
        ("M12", 13.0, 13.5, 14.5),
    ],
)
def test_metric_clearance_holes_are_those_of_iso_273(
    size: str, fine: float, medium: float, coarse: float
) -> None:
    holes = clearance_holes(read_thread(size))
    told = (holes.fine_nm, holes.medium_nm, holes.coarse_nm)
    assert told == tuple(round(mm * MM) for mm in (fine, medium, coarse))


# ASME B18.2.8 as bd_warehouse's clearance_hole_sizes.csv names the drills; number and letter drills in
# inches by GNU units 2.22: #15 .180, #9 .196, #3 .213, #5 .2055, #2 .2210, B .238.
@pytest.mark.parametrize(
    ("size", "close", "normal", "loose"),
    [
        ("#8", 0.180, 0.196, 0.213),
        ("#10", 0.2055, 0.2210, 0.238),
        ("1/4", 17 / 64, 9 / 32, 19 / 64),
        ("5/16", 21 / 64, 11 / 32, 23 / 64),
        ("3/8", 25 / 64, 13 / 32, 27 / 64),
        ("7/16", 29 / 64, 15 / 32, 31 / 64),
        ("1/2", 17 / 32, 9 / 16, 39 / 64),
    ],
)
def test_unified_clearance_holes_are_the_published_drills(
    size: str, close: float, normal: float, loose: float
) -> None:
    holes = clearance_holes(read_thread(size))
    told = (holes.fine_nm, holes.medium_nm, holes.coarse_nm)
    assert told == tuple(round(inch * INCH) for inch in (close, normal, loose))


def test_copper_is_that_of_iec_60028() -> None:
    # IEC 60028: 1/58 ohm mm2/m = 0.017241, 0.00393 per kelvin at 20 degC, 0.15328 ohm g/m2.
    assert pytest.approx(0.017241, abs=5e-7) == RESISTIVITY_OHM_METRES * 1e6
    assert TEMPERATURE_COEFFICIENT_PER_KELVIN == 0.00393
    mass_resistivity = RESISTIVITY_OHM_METRES * 1e6 * DENSITY_KG_PER_CUBIC_METRE / 1e3
    assert mass_resistivity == pytest.approx(0.15328, abs=1e-5)


def test_copper_gains_resistance_as_published() -> None:
    # From IEC 60028: R(100 degC) / R(20 degC) = 1.3144, R(-20 degC) / R(20 degC) = 0.8428.
    assert resistivity_ratio(100) == pytest.approx(1.3144, abs=5e-5)
    assert resistivity_ratio(-20) == pytest.approx(0.8428, abs=5e-5)


def wire_square_mm(gauge: int) -> float:
    """American wire gauge by its definition: d = 0.005 x 92^((36 - n) / 39) in."""
    return math.pi / 4 * (25.4 * 0.005 * 92 ** ((36 - gauge) / 39)) ** 2


# Milliohm a metre at 20 degC of copper of 100 % IACS; the diameters behind are those of GNU units 2.22
# (`wiregauge`) and fluids 1.3.1. 4/0 is gauge -3.
@pytest.mark.parametrize(
    ("gauge", "square_mm", "milliohms_per_metre"),
    [
        (-3, 107.219, 0.16080),
        (-1, 67.431, 0.25569),
        (0, 53.475, 0.32242),
        (1, 42.408, 0.40656),
        (2, 33.631, 0.51267),
        (4, 21.151, 0.81517),
        (6, 13.302, 1.29617),
        (8, 8.366, 2.06099),
        (10, 5.261, 3.27711),
        (12, 3.309, 5.21081),
    ],
)
def test_wire_of_american_gauges_has_the_published_resistance(
    gauge: int, square_mm: float, milliohms_per_metre: float
) -> None:
    assert wire_square_mm(gauge) == pytest.approx(square_mm, abs=0.0006)
    ohms = resistance_ohms(1_000, wire_square_mm(gauge))
    assert ohms * 1e3 == pytest.approx(milliohms_per_metre, abs=5.1e-6)


def test_a_cable_and_a_contact_plate_lose_what_the_worked_examples_say() -> None:
    # 1/0 AWG, 1.5 m, 300 A, 20 degC: 0.1451 V. Copper plate 1 x 8 x 20 mm: 43.1 micro-ohm.
    assert 300 * resistance_ohms(1_500, wire_square_mm(0)) == pytest.approx(0.1451, abs=5e-5)
    assert resistance_ohms(20, 1 * 8) * 1e6 == pytest.approx(43.1, abs=0.05)


@pytest.mark.parametrize(("start", "end"), [(20, 160), (90, 250), (30, 200)])
def test_the_adiabatic_rise_is_that_of_the_standard_for_cables(start: float, end: float) -> None:
    # IEC 60949 (public summaries): I = K S sqrt(ln((end + b) / (start + b)) / t), copper K = 226, b = 234.5.
    # Its constant holds to half a percent with IEC 60028's density and 385 J/(kg K).
    square_mm, seconds = 10.0, 2.0
    current = 226 * square_mm * math.sqrt(math.log((end + 234.5) / (start + 234.5)) / seconds)
    rise = adiabatic_rise_kelvin(current, square_mm, seconds, start)
    assert rise == pytest.approx(end - start, rel=0.02)
    constant = 226 * math.sqrt(math.log((end + 234.5) / (start + 234.5)) / math.log1p(rise / (start + 234.5)))
    assert constant == pytest.approx(226, rel=0.006)


# EASA AR100-2020, Table 2-12 (IEC 60136, Table I): nominal from, to, least and greatest clearance, mm.
CLEARANCES_MM = (
    (1.6, 2.5, 0.044, 0.144),
    (3.2, 3.2, 0.050, 0.158),
    (4, 5, 0.050, 0.178),
    (6.3, 10, 0.055, 0.193),
    (12.5, 16, 0.072, 0.232),
    (20, 25, 0.080, 0.254),
    (32, 50, 0.100, 0.300),
    (64, 80, 0.110, 0.330),
)
# The same in inches.
CLEARANCES_INCH = (
    (1 / 8, 1 / 8, 0.0020, 0.0062),
    (3 / 16, 3 / 16, 0.0020, 0.0070),
    (1 / 4, 3 / 8, 0.0022, 0.0076),
    (7 / 16, 5 / 8, 0.0028, 0.0091),
)
# IEC 60136 as public summaries list the preferred a, t and r, mm.
PREFERRED_MM = (3.2, 4, 5, 6.3, 8, 10, 12.5, 16, 20, 25, 32, 40, 50, 64, 80, 125)


@pytest.mark.parametrize(("lower", "upper", "least", "most"), CLEARANCES_MM)
def test_metric_clearances_are_the_published_ones(
    lower: float, upper: float, least: float, most: float
) -> None:
    for size in (lower, upper):
        row = published_clearance(round(size * MM), "mm")
        assert row is not None
        assert (row.least_nm, row.most_nm) == (round(least * MM), round(most * MM))


@pytest.mark.parametrize(("lower", "upper", "least", "most"), CLEARANCES_INCH)
def test_inch_clearances_are_the_published_ones(
    lower: float, upper: float, least: float, most: float
) -> None:
    for size in (lower, upper):
        row = published_clearance(round(size * INCH), "in")
        assert row is not None
        assert (row.least_nm, row.most_nm) == (round(least * INCH), round(most * INCH))


def test_no_row_was_added_or_left_out() -> None:
    assert (len(METRIC_ROWS), len(INCH_ROWS)) == (len(CLEARANCES_MM), len(CLEARANCES_INCH))


@pytest.mark.parametrize("size", [size for size in PREFERRED_MM if size <= 80])
def test_holders_of_class_e10_leave_the_published_clearance(size: float) -> None:
    # Derived: the table's clearances are those of E10 holders (ISO 286) over brushes whose deviations are
    # -30/-90 um to 3.2 mm, -30/-110 to 10 mm, -40/-130 to 25 mm, -50/-150 to 80 mm. E10 is from memory, but
    # agrees with every row.
    nm = round(size * MM)
    lower, upper = limits_of(nm, "E10", "hole")
    _, least_below, most_below = next(row for row in BRUSH_BELOW_NOMINAL_NM if nm <= row[0])
    row = published_clearance(nm, "mm")
    assert row is not None
    assert lower - (nm - least_below) == row.least_nm
    assert upper - (nm - most_below) == row.most_nm


def test_preferred_sizes_hold_the_published_ones() -> None:
    assert {round(size * MM) for size in PREFERRED_MM} <= set(PREFERRED_NM["mm"])
    # EASA AR100-2020: the table of IEC 60136 starts at 1.6, 2 and 2.5 mm.
    added = set(PREFERRED_NM["mm"]) - {round(size * MM) for size in PREFERRED_MM}
    assert added == {round(size * MM) for size in (1.6, 2, 2.5)}


# Service data of two makers' starters, at second hand: new length, discard length, mm.
@pytest.mark.parametrize(("new", "discard"), [(15.0, 10.0), (15.5, 10.0), (17.0, 11.5)])
def test_discard_lengths_are_the_published_ones(new: float, discard: float) -> None:
    lengths = discard_lengths(Feature.exact(round(new * MM)))
    assert strictest(lengths).nm == round(discard * MM)
    # US Navy NAVEDTRA 14120: replace at 40 % of the original length.
    assert round(0.40 * new * MM) in {one.nm for one in lengths}


def test_pressures_and_forces_are_the_published_ones_in_both_units() -> None:
    # 1 psi = 6894.757293168 Pa; 1 cN/cm2 = 0.1 kPa; 1 kgf = 9.80665 N (scipy.constants, GNU units 2.22).
    psi, kgf = 6.894757293168, 9.80665
    published = {name: (least, most) for name, least, most in PRESSURES_KPA}
    assert published["general practice (2 to 4 psi)"] == pytest.approx((2 * psi, 4 * psi), abs=0.05)
    assert published["US Navy NAVEDTRA 14120 (1.5 to 8 psi)"] == pytest.approx((1.5 * psi, 8 * psi), abs=0.05)
    assert published["stationary machines, general (180 to 200 cN/cm2)"] == (18.0, 20.0)
    assert published["traction machines (300 to 500 cN/cm2)"] == (30.0, 50.0)
    # Service data print 18 to 24 N (1.79 to 2.41 kgf), 13.7 to 19.6 N (1.4 to 2.0 kgf) and 22.3 to 27.3 N
    # (2.27 to 2.78 kgf).
    assert pytest.approx((1.79 * kgf, 2.41 * kgf), abs=0.5) == SPRING_NEWTONS
    assert OTHER_SPRINGS[0] == pytest.approx((1.4 * kgf, 2.0 * kgf), abs=0.05)
    assert OTHER_SPRINGS[1] == pytest.approx((2.27 * kgf, 2.78 * kgf), abs=0.05)


def test_the_wear_limit_of_a_contact_plate_agrees_in_both_units() -> None:
    # Service data of one starter: 0.9 mm (0.035 in); printed to a thousandth of an inch.
    assert round(0.9 * MM) == WEAR_LIMIT_NM
    assert pytest.approx(0.035, abs=0.0005) == WEAR_LIMIT_NM / INCH
