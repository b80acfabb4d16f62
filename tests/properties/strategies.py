"""What the property tests draw from, shared between them."""

from hypothesis import strategies as st

from api.measurement.lengths import GREATEST_LENGTH_NM
from api.measurement.units import NM_PER_UNIT

lengths_nm = st.integers(min_value=1, max_value=GREATEST_LENGTH_NM)
"""Any length that can be held, in nm."""

part_lengths_nm = st.integers(min_value=100_000, max_value=200_000_000)
"""A length of a wear part, 0.1 to 200 mm, in nm."""

units = st.sampled_from(sorted(NM_PER_UNIT))
"""Unit codes."""

unruly_texts = st.one_of(
    st.text(max_size=45),
    st.text(alphabet="0123456789.,/-+ ½⅟⁄e'\"″m㎜²incuth", max_size=45),
    st.from_regex(r"\A[-+]?\d{0,3}[ -]?\d{0,3}[/.,]?\d{0,3} ?(mm|in|\"|cm|thou|furlong)?\Z"),
)
"""Anything at all, and texts that come close to a length."""
