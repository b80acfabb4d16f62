"""What holds of any readings of several specimens."""

import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from api.records.combine_lengths import SpecimenReading, combine_lengths

TOOLS = {"digital_caliper": (23_000.0, 10_000.0), "outside_micrometer": (3_700.0, 10_000.0)}


@st.composite
def specimen_readings(draw: st.DrawFn) -> SpecimenReading:
    tool = draw(st.sampled_from(sorted(TOOLS)))
    values = draw(st.lists(st.integers(12_400_000, 12_600_000), min_size=1, max_size=3))
    return SpecimenReading(draw(st.sampled_from("abcdef")), tuple(values), tool, *TOOLS[tool])


USUAL = st.floats(0, 60_000)
SEVERAL = st.lists(specimen_readings(), min_size=1, max_size=8)
ALIKE = st.lists(
    st.builds(
        lambda specimen, nm, tool: SpecimenReading(specimen, (nm,), tool, *TOOLS[tool]),
        st.sampled_from("abcdef"),
        st.integers(12_490_000, 12_520_000),
        st.sampled_from(sorted(TOOLS)),
    ),
    min_size=1,
    max_size=8,
)


@settings(max_examples=60)
@given(st.data(), SEVERAL, USUAL)
def test_the_order_of_records_does_not_matter(
    data: st.DataObject, readings: list[SpecimenReading], usual: float
) -> None:
    shuffled = data.draw(st.permutations(readings))
    assert combine_lengths(shuffled, usual) == combine_lengths(readings, usual)


@settings(max_examples=60)
@given(SEVERAL, USUAL)
def test_the_mean_lies_among_the_readings_and_is_known_no_better_than_its_instruments(
    readings: list[SpecimenReading], usual: float
) -> None:
    found = combine_lengths(readings, usual)
    means = [one.mean_nm for one in readings]
    assert min(means) - 1 <= found.mean_nm <= max(means) + 1
    floor = math.sqrt(1 / sum(1 / TOOLS[tool][0] ** 2 for tool in {one.instrument for one in readings}))
    assert found.uncertainty_nm >= floor


@settings(max_examples=60)
@given(ALIKE, st.floats(30_000, 60_000), st.sampled_from(sorted(TOOLS)))
def test_a_further_specimen_never_widens_what_consistent_ones_are_known_with(
    readings: list[SpecimenReading], usual: float, tool: str
) -> None:
    before = combine_lengths(readings, usual)
    more = [*readings, SpecimenReading("g", (round(before.mean_nm),), tool, *TOOLS[tool])]
    after = combine_lengths(more, usual)
    assume(before.is_consistent and after.is_consistent)
    # Without repeats: they would pool their scatter anew.
    assert after.uncertainty_nm <= before.uncertainty_nm * (1 + 1e-9)


@settings(max_examples=40)
@given(SEVERAL, USUAL, st.integers(-5_000_000, 50_000_000))
def test_moving_every_reading_moves_the_mean_alone(
    readings: list[SpecimenReading], usual: float, by: int
) -> None:
    moved = [
        SpecimenReading(
            one.specimen,
            tuple(value + by for value in one.values_nm),
            one.instrument,
            one.shared_nm,
            one.step_nm,
        )
        for one in readings
    ]
    here, there = combine_lengths(readings, usual), combine_lengths(moved, usual)
    assert math.isclose(there.mean_nm, here.mean_nm + by, abs_tol=1.0)
    assert math.isclose(there.uncertainty_nm, here.uncertainty_nm, rel_tol=1e-6)
    assert math.isclose(there.chi_square, here.chi_square, rel_tol=1e-5, abs_tol=1e-9)
