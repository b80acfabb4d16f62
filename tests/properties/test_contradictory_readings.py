"""What does not go together is named, what does is not; and being less sure never makes a verdict worse."""

import attrs
from hypothesis import given
from hypothesis import strategies as st
from matching_strategies import MATCHED_KIND, length_readings, size_rows

from api.matching.likelihoods.explanation import explain_sizes
from api.matching.model import KindModel
from api.matching.readings import CountReading, LengthReading
from tests.size_rows import SizeRow, build_size_table
from tests.whole_tables import weigh_sizes

U_NM = 23_300.0
STEP_NM = 400_000
KIND = KindModel(
    kind="bushing",
    dimensions=(
        *MATCHED_KIND.dimensions[:3],
        attrs.evolve(MATCHED_KIND.dimension("outside_diameter"), code="flange_diameter"),
        MATCHED_KIND.dimension("holes"),
    ),
    unlisted_prior=0.05,
)
LENGTHS = [one for one in KIND.dimensions if one.measure == "length"]
SIDE = {"grows": 1, "shrinks": -1, "none": 0}


def sizes_apart(steps):
    """Return sizes at least 0.4 mm apart in every dimension."""
    rows = []
    for step in steps:
        lower = 10_000_000 + step * STEP_NM
        values = {one.code: (lower, lower + 18_000) for one in LENGTHS}
        rows.append(SizeRow(code=f"S{step:02d}", values={**values, "holes": step % 7}))
    return rows


steps = st.lists(st.integers(0, 40), min_size=2, max_size=12, unique=True)
wears = st.lists(st.floats(0.0, 2.0), min_size=4, max_size=4)
errors = st.lists(st.floats(-2.0, 2.0), min_size=4, max_size=4)


def good_readings(row, wear, error):
    """Return readings of every length of one size, worn by up to two wear scales, off by up to two u."""
    return {
        one.code: LengthReading(
            dimension=one.code,
            value_nm=row.values[one.code][0]
            + 9_000
            + SIDE[one.wear_sense] * worn * one.wear_scale_nm
            + off * U_NM,
            uncertainty_nm=U_NM,
        )
        for one, worn, off in zip(LENGTHS, wear, error, strict=True)
    }


def named(rows, readings):
    posterior = weigh_sizes(KIND, build_size_table(KIND, rows), readings)
    return {one.dimension: one for one in posterior.contradictions}


@given(steps, st.data(), wears, errors)
def test_readings_of_one_size_contradict_nothing(steps, data, wear, error):
    rows = sizes_apart(steps)
    readings = good_readings(data.draw(st.sampled_from(rows)), wear, error)
    assert named(rows, readings.values()) == {}


@given(
    steps,
    st.data(),
    wears,
    errors,
    st.sampled_from(LENGTHS),
    st.floats(2.5e6, 12e6),
    st.sampled_from([-1, 1]),
)
def test_the_one_reading_of_four_that_is_wrong_is_named_and_only_that(
    steps, data, wear, error, wrong, off_nm, side
):
    """Off by 2.5 mm or more, far beyond what its wear and error explain."""
    rows = sizes_apart(steps)
    readings = good_readings(data.draw(st.sampled_from(rows)), wear, error)
    value = readings[wrong.code].value_nm + side * off_nm
    if not wrong.span_lower <= value <= wrong.span_upper:
        value = readings[wrong.code].value_nm - side * off_nm
    readings[wrong.code] = attrs.evolve(readings[wrong.code], value_nm=max(value, float(wrong.span_lower)))
    found = named(rows, readings.values())
    assert set(found) == {wrong.code}
    assert found[wrong.code].slip_probability > 0.5


@given(steps, st.data(), wears, errors, st.integers(1, 6))
def test_a_count_that_is_not_that_of_the_size_is_named(steps, data, wear, error, off):
    rows = sizes_apart(steps)
    row = data.draw(st.sampled_from(rows))
    counted = CountReading(dimension="holes", count=(row.values["holes"] + off) % 7)
    found = named(rows, [*good_readings(row, wear, error).values(), counted])
    assert set(found) == {"holes"}


@given(steps, st.data(), wears, errors, st.sampled_from(LENGTHS), st.floats(1.0, 5.0))
def test_repeats_further_apart_than_wear_and_instrument_explain_are_named(
    steps, data, wear, error, twice, times
):
    rows = sizes_apart(steps)
    readings = good_readings(data.draw(st.sampled_from(rows)), wear, error)
    apart = (3 * 2**0.5 * U_NM + 4 * twice.wear_scale_nm) * times + 1_000
    again = attrs.evolve(readings[twice.code], value_nm=readings[twice.code].value_nm + apart)
    found = named(rows, [*readings.values(), again])
    assert found[twice.code].reason in (
        "repeats_disagree",
        "disagrees_with_other_readings",
        "no_size_explains_it",
    )
    posterior = weigh_sizes(KIND, build_size_table(KIND, rows), [*readings.values(), again])
    told = [one.reason for one in posterior.contradictions if one.dimension == twice.code]
    assert told[0] == "repeats_disagree"


one_of_each = st.tuples(
    *(length_readings(one.code) for one in MATCHED_KIND.dimensions if one.measure == "length")
)


@given(size_rows, one_of_each, st.lists(st.floats(1.0, 50.0), min_size=3, max_size=3))
def test_wider_uncertainties_turn_no_verdict_of_a_whole_search_stricter(rows, readings, times):
    """`agrees` and `worn` never become `too_worn` or `contradicts`, nor `too_worn` `contradicts`."""
    strictness = {"not_recorded": 0, "agrees": 1, "worn": 1, "too_worn": 2, "contradicts": 3}
    table = build_size_table(MATCHED_KIND, rows)
    wider = [
        attrs.evolve(one, uncertainty_nm=one.uncertainty_nm * factor)
        for one, factor in zip(readings, times, strict=True)
    ]
    told = []
    for given_readings in (readings, wider):
        posterior = weigh_sizes(MATCHED_KIND, table, given_readings)
        explained = explain_sizes(MATCHED_KIND, table, posterior, range(len(rows)))
        told.append([strictness[one.verdict] for size in explained for one in size.dimensions])
    assert all(wide <= narrow for narrow, wide in zip(*told, strict=True))
