"""What the readings of several specimens say of one feature: lengths, counts, words, absence."""

import math

import pytest

from api.measurement.raw_readings import State, Surface
from api.records.bench_readings import BenchReading
from api.records.evidence import Evidence, OfSpecimen, odd_teeth_factors, weigh_feature

CALIPER_NM, STEP_NM = 23_094.0, 10_000.0


def length(specimen: str, mm: float, surface: Surface = "unworn", state: State = "free") -> OfSpecimen:
    reading = BenchReading(
        feature="bore",
        written=(f"{mm} mm",),
        values_nm=(round(mm * 1_000_000),),
        instrument="digital_caliper",
        instrument_nm=CALIPER_NM,
        step_nm=STEP_NM,
        surface=surface,
        state=state,
    )
    return OfSpecimen(specimen, reading)


def count(specimen: str, value: int) -> OfSpecimen:
    return OfSpecimen(specimen, BenchReading(feature="teeth", written=(str(value),), count=value))


def absent(specimen: str) -> OfSpecimen:
    return OfSpecimen(specimen, BenchReading(feature="flange", applies=False, written=("n/a",)))


def of_bore(*readings: OfSpecimen) -> Evidence:
    return weigh_feature("bore", readings, 18_000)


def test_worn_and_installed_lengths_are_passed_over() -> None:
    found = of_bore(length("a", 12.51), length("b", 12.63, "worn"), length("c", 12.48, state="installed"))
    assert (found.specimens, found.passed_over) == (1, 2)
    assert found.value == "12.510 mm"
    nothing = of_bore(length("b", 12.63, "worn"))
    assert (nothing.specimens, nothing.value, nothing.uncertainty_nm) == (0, None, None)


def test_one_specimen_gives_no_tolerance_but_an_uncertainty_of_knowing_it() -> None:
    """The caliper's, its step's and the usual difference of specimens (18 um / sqrt 12), in quadrature."""
    found = of_bore(length("a", 12.51))
    usual = 18_000 / math.sqrt(12)
    known = math.sqrt(CALIPER_NM**2 + STEP_NM**2 / 12 + usual**2)
    assert found.uncertainty_nm == math.ceil(known)


def test_where_nothing_is_usual_a_workshops_tolerance_is_taken() -> None:
    """ISO 286-1, IT11 of 10 to 18 mm: 110 um."""
    found = weigh_feature("bore", [length("a", 12.51)], None)
    assert found.length is not None
    assert found.length.usual_nm == pytest.approx(110_000 / math.sqrt(12))


def test_a_majority_that_agrees_gives_the_value_and_the_odd_one_is_left_out() -> None:
    readings = [length("a", 12.51), length("b", 12.52), length("c", 12.51)]
    odd = length("wrong drawer", 13.10)
    found = of_bore(*readings, odd)
    assert not found.is_consistent
    assert found.left_out == ("wrong drawer",)
    assert (found.value, found.uncertainty_nm) == (
        of_bore(*readings).value,
        of_bore(*readings).uncertainty_nm,
    )


@pytest.mark.parametrize(
    "readings",
    [
        [length("a", 12.51), length("b", 13.10)],
        [length("a", 12.51), length("b", 12.52), length("c", 13.10), length("d", 13.11)],
        [length("a", 12.0), length("b", 12.5), length("c", 13.0)],
        [length("a", 12.51), length("a", 13.10)],
    ],
    ids=["two", "two pairs", "three apart", "one that contradicts itself"],
)
def test_without_a_majority_there_is_no_value(readings: list[OfSpecimen]) -> None:
    found = of_bore(*readings)
    assert (found.is_consistent, found.value, found.uncertainty_nm, found.left_out) == (False, None, None, ())


def test_counts_have_to_be_the_same() -> None:
    alike = weigh_feature("teeth", [count("a", 11), count("b", 11)], None)
    assert (alike.is_consistent, alike.value, alike.specimens) == (True, "11", 2)
    odd = weigh_feature("teeth", [count("a", 11), count("b", 11), count("c", 12)], None)
    assert (odd.is_consistent, odd.value, odd.left_out) == (False, "11", ("c",))
    divided = weigh_feature("teeth", [count("a", 11), count("b", 12)], None)
    assert (divided.is_consistent, divided.value, divided.left_out) == (False, None, ())


def test_a_length_and_its_absence_contradict_each_other() -> None:
    found = weigh_feature("flange", [length("a", 20.0), length("b", 20.0), absent("c")], None)
    assert (found.is_consistent, found.value, found.specimens) == (False, None, 3)
    alone = weigh_feature("flange", [absent("c"), absent("d")], None)
    assert (alone.value, alone.uncertainty_nm) == ("n/a", None)


@pytest.mark.parametrize("teeth", [9, 11, 13])
def test_across_odd_teeth_a_caliper_reads_low_by_plane_geometry(teeth: int) -> None:
    """Between a pointed tip and the two opposite: cos(90 degrees / z) of the tip circle's diameter."""
    least, greatest = odd_teeth_factors(teeth)
    assert greatest == pytest.approx(1 / math.cos(math.pi / 2 / teeth))
    assert 1 <= least < greatest
    read = length("a", 29.00)
    found = weigh_feature("tip_diameter", [read], 120_000, opposite=teeth).length
    assert found is not None
    assert least * 29.0e6 <= found.mean_nm <= greatest * 29.0e6
    half = 29.0e6 * (greatest - least) / 2
    assert found.uncertainty_nm >= half / math.sqrt(3)


def test_the_correction_across_odd_teeth_is_shared_by_every_instrument() -> None:
    """Whoever reads, the land at the tips stays unknown: more specimens do not tell it."""
    many = [length(str(place), 29.00) for place in range(20)]
    found = weigh_feature("tip_diameter", many, 0, opposite=9).length
    least, greatest = odd_teeth_factors(9)
    assert found is not None
    assert found.uncertainty_nm >= 29.0e6 * (greatest - least) / 2 / math.sqrt(3)


def test_a_reading_across_an_unknown_number_of_teeth_is_passed_over() -> None:
    found = weigh_feature("tip_diameter", [length("a", 29.0)], None, opposite=None)
    assert (found.specimens, found.passed_over) == (0, 1)
    even = weigh_feature("tip_diameter", [length("a", 29.0)], None, opposite=10)
    assert even.value == "29.000 mm"
