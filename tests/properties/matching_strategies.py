"""Kinds' models, sizes and readings to draw for the properties of matching."""

from hypothesis import strategies as st

from api.matching.model import DimensionModel, KindModel
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, LengthReading
from tests.size_rows import DOES_NOT_APPLY, SizeRow

MATCHED_KIND = KindModel(
    kind="bushing",
    dimensions=(
        DimensionModel(
            code="bore",
            measure="length",
            how="inside",
            wear_sense="grows",
            wear_scale_nm=80_000,
            span_lower=4_000_000,
            span_upper=40_000_000,
        ),
        DimensionModel(
            code="outside_diameter",
            measure="length",
            how="outside",
            span_lower=6_000_000,
            span_upper=50_000_000,
        ),
        DimensionModel(
            code="length",
            measure="length",
            how="outside",
            wear_sense="shrinks",
            wear_scale_nm=150_000,
            span_lower=3_000_000,
            span_upper=60_000_000,
        ),
        DimensionModel(code="holes", measure="count", how="count", span_lower=0, span_upper=6),
        DimensionModel(code="oil_supply", measure="choice", how="look", choices=("none", "hole", "groove")),
    ),
    unlisted_prior=0.05,
)

_LENGTHS = [one for one in MATCHED_KIND.dimensions if one.measure == "length"]

# Few starting points, so that sizes are often alike, overlap, or miss each other narrowly.
limits = st.builds(
    lambda step, shift, width: (
        12_000_000 + step * 100_000 + shift,
        12_000_000 + step * 100_000 + shift + width,
    ),
    st.integers(0, 20),
    st.integers(-20_000, 20_000),
    st.sampled_from([0, 18_000, 40_000]),
)
_length_values = st.one_of(limits, limits, limits, st.none(), st.just(DOES_NOT_APPLY))
_counts = st.one_of(st.integers(0, 6), st.none(), st.just(DOES_NOT_APPLY))
_choices = st.one_of(st.sampled_from(["none", "hole", "groove"]), st.none())

_values = st.fixed_dictionaries(
    {**{one.code: _length_values for one in _LENGTHS}, "holes": _counts, "oil_supply": _choices}
).map(lambda drawn: {code: value for code, value in drawn.items() if value is not None})

_full_values = st.fixed_dictionaries(
    {
        **{one.code: limits for one in _LENGTHS},
        "holes": st.integers(0, 6),
        "oil_supply": st.sampled_from(["none", "hole", "groove"]),
    }
)


def _rows_of(values):
    return st.lists(st.tuples(values, st.integers(0, 40)), min_size=1, max_size=25).map(
        lambda drawn: [
            SizeRow(code=f"S{place:02d}", values=values, listings=listings)
            for place, (values, listings) in enumerate(drawn)
        ]
    )


size_rows = _rows_of(_values)
"""Sizes that record some dimensions, lack some features, and say nothing of others."""

full_size_rows = _rows_of(_full_values)
"""Sizes that record every dimension."""

uncertainties_nm = st.floats(500.0, 400_000.0)


def length_readings(code: str) -> st.SearchStrategy[LengthReading]:
    return st.builds(
        LengthReading,
        dimension=st.just(code),
        value_nm=st.integers(11_000_000, 15_000_000),
        uncertainty_nm=uncertainties_nm,
        worn=st.booleans(),
    )


_any_reading = st.one_of(
    *(length_readings(one.code) for one in _LENGTHS),
    st.builds(CountReading, dimension=st.just("holes"), count=st.integers(0, 6)),
    st.builds(
        ChoiceReading, dimension=st.just("oil_supply"), choice=st.sampled_from(["none", "hole", "groove"])
    ),
    st.builds(AbsentReading, dimension=st.sampled_from([one.code for one in _LENGTHS])),
)

readings = st.lists(_any_reading, max_size=7)
"""Readings of any dimension, some of them more than once."""
