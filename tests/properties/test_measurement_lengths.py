"""Properties of reading and writing lengths that hold for every length."""

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import lengths_nm, units, unruly_texts

from api.measurement.counts import parse_count
from api.measurement.lengths import GREATEST_LENGTH_NM, format_length, parse_length
from api.measurement.refusals import UnreadableCount, UnreadableLength
from api.measurement.units import NM_PER_UNIT


@given(lengths_nm, units, st.none() | st.integers(0, 12))
def test_what_is_written_reads_back_as_the_same_length(nm: int, unit: str, digits: int | None) -> None:
    assert parse_length(format_length(nm, unit, digits)).nm == nm


@given(lengths_nm, units)
def test_a_decimal_comma_reads_as_a_decimal_point(nm: int, unit: str) -> None:
    text = format_length(nm, unit)
    assert parse_length(text.replace(".", ",")) == parse_length(text)


@given(lengths_nm, units)
def test_a_space_before_the_unit_makes_no_difference(nm: int, unit: str) -> None:
    text = format_length(nm, unit)
    assert parse_length(text.replace(" ", "")) == parse_length(text)


@given(lengths_nm, units)
def test_a_default_unit_reads_as_the_same_unit_written(nm: int, unit: str) -> None:
    text = format_length(nm, unit)
    assert parse_length(text.split(" ")[0], unit) == parse_length(text)


@given(st.decimals("0.001", "9", places=3))
def test_a_number_is_longer_in_a_longer_unit(number: object) -> None:
    in_order = [parse_length(f"{number} {unit}").nm for unit in ("um", "thou", "mm", "cm", "in")]
    assert in_order == sorted(in_order)
    assert len(set(in_order)) == 5


@given(lengths_nm, lengths_nm, units)
def test_the_order_of_lengths_is_kept(one: int, other: int, unit: str) -> None:
    read = [parse_length(format_length(nm, unit)).nm for nm in (one, other)]
    assert (read[0] < read[1]) == (one < other)


@given(
    st.integers(0, 300),
    st.integers(1, 127),
    st.integers(1, 128),
    st.sampled_from(" -"),
    st.sampled_from("/⁄∕"),
)
def test_a_mixed_fraction_is_its_whole_and_its_part(
    whole: int, top: int, bottom: int, joint: str, slash: str
) -> None:
    assume(top < bottom)
    exact = (whole + Fraction(top, bottom)) * NM_PER_UNIT["in"]
    length = parse_length(f"{whole}{joint}{top}{slash}{bottom} in")
    assert abs(length.nm - exact) <= Fraction(1, 2)
    assert length.resolution_nm == Fraction(NM_PER_UNIT["in"], bottom)


@given(st.integers(1, 63), st.sampled_from(["in", '"', "″", " inch"]))
def test_sixty_fourths_are_exact(top: int, mark: str) -> None:
    assert parse_length(f"{top}/64{mark}").nm == top * 396_875


@given(unruly_texts, st.none() | units)
def test_any_text_is_read_or_refused_and_nothing_else(text: str, default_unit: str | None) -> None:
    try:
        length = parse_length(text, default_unit)
    except UnreadableLength as refused:
        assert refused.code and refused.expected and refused.explain()
        assert len(refused.value) <= 80 and refused.value.isprintable()
    else:
        assert 1 <= length.nm <= GREATEST_LENGTH_NM
        assert length.resolution_nm is not None and length.resolution_nm > 0


@given(unruly_texts)
def test_any_default_unit_is_known_or_refused(text: str) -> None:
    try:
        assert parse_length("1", text).nm in NM_PER_UNIT.values()
    except UnreadableLength as refused:
        assert refused.code


@given(unruly_texts | st.integers())
def test_any_count_is_read_or_refused(value: str | int) -> None:
    try:
        assert 0 <= parse_count(value) <= 999
    except UnreadableCount as refused:
        assert refused.code and refused.explain()


@given(st.integers(0, 999))
def test_every_count_reads_back(count: int) -> None:
    assert parse_count(str(count)) == parse_count(count) == count
