"""What has to hold of every inspection: wear, uncertainty and order."""

from hypothesis import given, settings
from hypothesis import strategies as st
from inspection_bench import BOOK, judge, place, read, seen

from api.inspection.bench_readings import BenchPlace
from api.inspection.conformance import WORSENING, Known, conformance
from api.inspection.inspect_starter import InspectedPlace, inspect_starter

EXAMPLES = settings(max_examples=60)

CASES = {
    "thickness": ("battery_side_contact", {"thickness": 2.5}, 2.6, 1.0, -1),
    "step": ("motor_side_contact", {}, 0.0, 1.5, 1),
    "length": ("brush_set", {"length": 16.0}, 16.0, 6.0, -1),
    "bore": ("drive_end_bushing", {"bore": 12.51, "journal_diameter": 12.46}, 12.5, 12.9, 1),
    "diameter": ("commutator", {"diameter": 32.0}, 32.0, 30.5, -1),
    "run_out": ("commutator", {}, 0.0, 0.3, 1),
    "undercut": ("commutator", {}, 0.8, 0.0, -1),
    "slip_torque_newton_metres": ("drive_clutch", {}, 200.0, 40.0, -1),
    "overrun_torque_newton_metres": ("drive_clutch", {}, 0.0, 0.5, 1),
    "spring_force_newtons": ("brush_set", {}, 25.0, 5.0, -1),
}
"""Place, values when new, from where to where it wears, and which way."""


def rank(verdict: str) -> int:
    return [str(one) for one in WORSENING].index(verdict)


def at(feature: str, value: float, u: float) -> BenchPlace:
    where, new, *_ = CASES[feature]
    return place(where, read(feature, value, u=u), new=new)


@given(
    feature=st.sampled_from(sorted(CASES)),
    shares=st.tuples(st.floats(0, 1), st.floats(0, 1)).map(sorted),
    coarseness=st.floats(0, 0.3),
)
@EXAMPLES
def test_more_wear_never_improves_a_verdict(feature: str, shares: list[float], coarseness: float) -> None:
    _, _, fresh, gone, _ = CASES[feature]
    u = coarseness * abs(gone - fresh)
    less, more = (judge(at(feature, fresh + share * (gone - fresh), u)) for share in shares)
    assert rank(more.verdict) >= rank(less.verdict)
    if less.inside is not None and more.inside is not None:
        assert more.inside <= less.inside + 1e-12


@given(
    lengths=st.tuples(st.floats(6, 17), st.floats(6, 17)).map(sorted),
    new=st.tuples(st.floats(15, 22), st.floats(15, 22)),
    u=st.floats(0, 0.5),
)
@EXAMPLES
def test_more_wear_never_improves_where_the_size_fitted_is_open(
    lengths: list[float], new: tuple[float, float], u: float
) -> None:
    more, less = (
        judge(place("brush_set", read("length", length, u=u), new={"length": new})) for length in lengths
    )
    assert rank(more.verdict) >= rank(less.verdict)


@given(
    feature=st.sampled_from(sorted(CASES)),
    share=st.floats(0, 1),
    spreads=st.tuples(st.floats(0, 2), st.floats(0, 2)).map(sorted),
)
@EXAMPLES
def test_a_wider_uncertainty_never_turns_good_into_renew(
    feature: str, share: float, spreads: list[float]
) -> None:
    _, _, fresh, gone, _ = CASES[feature]
    value, scale = fresh + share * (gone - fresh), abs(gone - fresh)
    fine, coarse = (judge(at(feature, value, spread * scale)).verdict for spread in spreads)
    if fine in ("good", "near_limit"):
        assert coarse != "renew"
    if fine == "renew":
        assert coarse != "good"
    if fine == "cannot_tell":
        assert coarse == "cannot_tell"
    if fine == "near_limit":
        assert coarse in ("near_limit", "cannot_tell")


@given(value=st.floats(15, 30), spreads=st.tuples(st.floats(0, 50), st.floats(0, 50)).map(sorted))
@EXAMPLES
def test_between_two_limits_a_coarse_reading_is_no_refusal(value: float, spreads: list[float]) -> None:
    fine, coarse = (
        judge(
            place(
                "brush_set",
                read("spring_force_newtons", value, u=u),
                stated={"spring_force_newtons": (18.0, 24.0)},
            )
        ).verdict
        for u in spreads
    )
    if fine == "good":
        assert coarse != "renew"


BENCH = (
    place(
        "brush_set",
        read("length", 11.2, 10.9, 11.4, u=0.012),
        read("spring_force_newtons", 17.0, u=0.5),
        seen("condition", "oil_soaked"),
        new={"length": 16.0},
    ),
    place("commutator", read("run_out", 0.06, u=0.01), seen("surface", "grooved")),
    place("armature", seen("core", "rubbed_bright"), read("resistance_to_ground_ohms", 5e5, u=1e5)),
    place("ring_gear", seen("teeth", "milled")),
    place("drive_clutch", read("slip_torque_newton_metres", 80.0, u=2.0), seen("teeth", "worn")),
    place("drive_end_bushing", read("bore", 12.63, u=0.02), new={"journal_diameter": 12.46}),
)


def told(one: InspectedPlace) -> tuple[object, ...]:
    features = sorted((each.judged.reading.feature, each.judged.verdict) for each in one.features)
    inside = None if one.inside is None else round(one.inside, 12)
    return one.verdict, inside, one.limiting, tuple(features), tuple(cause.code for cause in one.causes)


@given(order=st.permutations(range(len(BENCH))), turn=st.booleans())
@EXAMPLES
def test_the_order_of_places_and_readings_does_not_matter(order: list[int], turn: bool) -> None:
    straight = {one.place: told(one) for one in inspect_starter(BOOK, BENCH)}
    mixed = [BENCH[index] for index in order]
    if turn:
        mixed = [
            place_.__class__(
                place=place_.place,
                readings=tuple(
                    one.__class__(feature=one.feature, pieces=one.pieces[::-1], choice=one.choice)
                    for one in place_.readings[::-1]
                ),
                new=place_.new,
            )
            for place_ in mixed
        ]
    assert {one.place: told(one) for one in inspect_starter(BOOK, mixed)} == straight


@given(
    middle=st.floats(-5, 5),
    u=st.floats(0.01, 3),
    width=st.floats(0, 3),
    limits=st.tuples(st.floats(-5, 5), st.floats(-5, 5)).map(sorted),
)
@EXAMPLES
def test_probabilities_add_up(middle: float, u: float, width: float, limits: list[float]) -> None:
    value = Known(middle, (width,) if width else (), u)
    found = conformance(value, *limits)
    assert 0 <= found.inside <= 1
    assert abs(found.inside + found.below + found.above - 1) < 1e-9
