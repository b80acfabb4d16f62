"""A value follows from what stood there and from the set of records: not from their order, nor from others
that came and were withdrawn."""

from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from api.records.bench_readings import BenchReading
from api.records.evidence import OfSpecimen, weigh_feature
from api.records.learn import Held, Learned, draw_lesson

TOOLS = {"digital_caliper": (23_094.0, 10_000.0), "bore_gauge": (4_000.0, 1_000.0)}
BASES = st.sampled_from(
    [
        Held(),
        Held("12.506..12.524 mm", "measured"),
        Held("12.506..12.524 mm", "drawing"),
        Held("n/a", "drawing"),
    ]
)


@st.composite
def records(draw: st.DrawFn) -> OfSpecimen:
    specimen = draw(st.sampled_from("abcde"))
    if draw(st.integers(0, 9)) == 0:
        return OfSpecimen(specimen, BenchReading(feature="bore", applies=False))
    tool = draw(st.sampled_from(sorted(TOOLS)))
    step = 10_000
    reading = BenchReading(
        feature="bore",
        values_nm=tuple(
            draw(
                st.lists(st.integers(1_245, 1_257), min_size=1, max_size=2).map(
                    lambda values: [value * step for value in values]
                )
            )
        ),
        instrument=tool,
        instrument_nm=TOOLS[tool][0],
        step_nm=TOOLS[tool][1],
        surface=draw(st.sampled_from(["unworn", "unworn", "unworn", "worn"])),
    )
    return OfSpecimen(specimen, reading)


class Bench:
    """One value of the catalogue, and what is known of it, as the use case keeps both."""

    def __init__(self, base: Held) -> None:
        self.held = base
        self.history: list[Learned] = []

    def follow(self, standing: Sequence[OfSpecimen]) -> None:
        evidence = weigh_feature("bore", standing, 18_000)
        lesson = draw_lesson("bore", self.held, evidence, self.history)
        if lesson.is_news:
            self.history.append(Learned(self.held, lesson.target))
            self.held = lesson.target


def after(base: Held, standing: Sequence[OfSpecimen]) -> Held:
    """Return what is held after these records, one by one."""
    bench = Bench(base)
    for many in range(1, len(standing) + 1):
        bench.follow(standing[:many])
    return bench.held


@settings(max_examples=80)
@given(st.data(), BASES, st.lists(records(), min_size=1, max_size=5))
def test_the_order_of_records_does_not_matter(
    data: st.DataObject, base: Held, standing: list[OfSpecimen]
) -> None:
    assert after(base, data.draw(st.permutations(standing))) == after(base, standing)


@settings(max_examples=80)
@given(BASES, st.lists(records(), max_size=4), records())
def test_withdrawing_a_record_restores_what_was(
    base: Held, standing: list[OfSpecimen], other: OfSpecimen
) -> None:
    bench = Bench(base)
    for many in range(len(standing) + 1):
        bench.follow(standing[:many])
    before = bench.held
    bench.follow([*standing, other])
    changed = bench.held
    bench.follow(standing)
    assert bench.held == before
    bench.follow([other, *standing])
    assert bench.held == changed


@settings(max_examples=60)
@given(BASES, st.lists(records(), max_size=5))
def test_withdrawing_them_all_restores_what_stood_before_any(base: Held, standing: list[OfSpecimen]) -> None:
    bench = Bench(base)
    for many in [*range(len(standing) + 1), *reversed(range(len(standing)))]:
        bench.follow(standing[:many])
    assert bench.held == base


@settings(max_examples=60)
@given(st.lists(records(), max_size=5))
def test_a_stated_value_stands_whatever_was_measured(standing: list[OfSpecimen]) -> None:
    stated = Held("12.506..12.524 mm", "catalogue")
    assert after(stated, standing) == stated
