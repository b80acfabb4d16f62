"""Properties of readings that hold for every instrument and length."""

import math
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from strategies import part_lengths_nm, unruly_texts

from api.errors import InvalidInput
from api.measurement.instrument_data import read_instruments
from api.measurement.instruments import WAYS, Way
from api.measurement.lengths import format_length
from api.measurement.raw_readings import RawReading, RawSetup
from api.measurement.readings import make_reading
from api.measurement.uncertainty import instrument_part_nm, standard_uncertainty_nm

INSTRUMENTS = read_instruments(
    (Path(__file__).parents[2] / "seed_catalog" / "instruments.toml").read_text(encoding="utf-8")
)
ABLE = [(code, way) for code, instrument in INSTRUMENTS.items() for way in instrument.ways]
optional_texts = st.none() | unruly_texts


@given(st.sampled_from(ABLE), st.lists(st.integers(10_000_000, 49_000_000), min_size=1, max_size=20))
def test_no_number_of_repeats_beats_the_instrument(able: tuple[str, Way], values_nm: list[int]) -> None:
    code, way = able
    instrument = INSTRUMENTS[code]
    values_nm = [min(value, instrument.greatest_length_nm) for value in values_nm]
    least = instrument.steps[0].error_nm / math.sqrt(3)
    assert standard_uncertainty_nm(instrument, way, values_nm) >= least


@given(part_lengths_nm, part_lengths_nm, st.sampled_from(["outside", "inside", "depth", "span"]))
def test_a_longer_reading_is_never_better_known(one: int, other: int, way: Way) -> None:
    caliper = INSTRUMENTS["digital_caliper"]
    shorter, longer = sorted((one, other))
    assert instrument_part_nm(caliper, way, shorter) <= instrument_part_nm(caliper, way, longer)


@given(st.lists(st.integers(12_000_000, 13_000_000), min_size=1, max_size=20))
def test_the_order_of_repeats_makes_no_difference(values_nm: list[int]) -> None:
    texts = [format_length(nm) for nm in values_nm]
    forward, backward = (
        make_reading("bore", "inside", RawReading(None, repeats=tuple(order)), RawSetup(), INSTRUMENTS)
        for order in (texts, texts[::-1])
    )
    assert (forward.nm, forward.u_nm) == (backward.nm, backward.u_nm)
    assert min(values_nm) <= forward.nm <= max(values_nm)


@given(
    st.builds(
        RawReading,
        optional_texts,
        instrument=optional_texts | st.sampled_from(sorted(INSTRUMENTS)),
        uncertainty=optional_texts,
        repeats=st.lists(unruly_texts, max_size=3).map(tuple),
        surface=optional_texts,
        state=optional_texts,
        is_plain=st.booleans(),
    ),
    st.sampled_from(WAYS),
)
def test_any_raw_reading_is_made_or_refused_with_its_faults(raw: RawReading, way: Way) -> None:
    try:
        reading = make_reading("bore", way, raw, RawSetup(unit="mm"), INSTRUMENTS)
    except InvalidInput as refused:
        assert refused.faults
        assert all(fault.path[:2] == ("readings", "bore") for fault in refused.faults)
        assert all(len(fault.value) <= 80 for fault in refused.faults)
    else:
        assert 0 < reading.u_nm < math.inf
