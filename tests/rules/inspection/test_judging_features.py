"""One feature against its limits: which limit is used, what is told where none is, and the worst piece."""

import attrs
import pytest
from inspection_bench import BOOK, judge, place, read, seen

from api.inspection.bench_readings import BenchPlace, BenchReading, Piece
from api.inspection.conformance import Known
from api.inspection.further_checks import next_check
from api.inspection.judge_feature import JudgedFeature, judge_feature
from api.inspection.settle_limits import HeldLimit


def used(judged: JudgedFeature) -> HeldLimit | None:
    return next((one.limit for one in judged.limits if one.used), None)


def test_the_strictest_published_limit_is_used_and_the_others_are_shown() -> None:
    judged = judge(place("commutator", read("run_out", 0.08, u=0.005)))
    limit = used(judged)
    assert limit is not None and limit.most == 50_000
    assert "strictest of 4" in judged.why_limit
    assert [one.verdict for one in judged.limits] == ["renew", "cannot_tell", "near_limit", "good"] or [
        one.verdict for one in judged.limits
    ] == ["renew", "near_limit", "near_limit", "good"]
    check = next_check(judged)
    assert check is not None and "good by at most 0.400 mm" in check


def test_a_stated_limit_comes_before_every_other() -> None:
    judged = judge(place("commutator", read("run_out", 0.08, u=0.005), stated={"run_out": (None, 0.3)}))
    limit = used(judged)
    assert limit is not None and limit.whose == "stated"
    assert judged.verdict == "good"


def test_both_ends_of_a_stated_limit_count() -> None:
    def verdict(force: float) -> str:
        return judge(
            place(
                "brush_set",
                read("spring_force_newtons", force, u=0.1),
                stated={"spring_force_newtons": (18.0, 24.0)},
            )
        ).verdict

    assert [verdict(force) for force in (10.0, 20.0, 30.0)] == ["renew", "good", "renew"]


@pytest.mark.parametrize(
    ("at", "why"),
    [
        (place("drive_clutch", read("base_tangent_2", 12.3)), "no source was found"),
        (place("commutator", read("diameter", 29.0)), "when new is not known"),
        (
            place("commutator", read("diameter", 34.0), new={"diameter": 35.0}),
            "the limit is for pieces that when new have 29.950..30.050 mm or",
        ),
        (place("brush_set", read("length", 12.0)), "when new is not known"),
        (place("drive_end_bushing", read("bore", 12.6)), "read journal_diameter"),
        (place("drive_end_bushing", read("journal_diameter", 12.4)), "the bore of a new bush"),
    ],
)
def test_without_a_limit_nothing_is_passed(at: BenchPlace, why: str) -> None:
    judged = judge(at)
    assert judged.verdict == "cannot_tell"
    assert judged.inside is None
    assert why in judged.why_limit
    assert judged.wear_share is None and judged.no_share is not None
    check = next_check(judged)
    assert check is not None and "State the maker's limit" in check


def test_the_worst_piece_decides() -> None:
    judged = judge(place("brush_set", read("length", 14.0, 9.0, 12.0, 8.5), new={"length": 16.0}))
    assert judged.verdict == "renew"
    assert judged.piece == 3
    assert judged.reason.startswith("piece 4 of 4")


def test_the_share_of_wear_is_by_the_used_limit() -> None:
    judged = judge(place("battery_side_contact", read("thickness", 2.2), new={"thickness": 2.5}))
    assert judged.wear_share == pytest.approx(0.3 / 0.9)
    thicker = judge(place("battery_side_contact", read("thickness", 2.6), new={"thickness": 2.5}))
    assert thicker.wear_share == 0.0
    turned = judge(
        place("brush_set", read("length", 12.0), new={"length": 16.0}, stated={"length": (17.0, None)})
    )
    assert turned.wear_share is None
    assert turned.no_share == "the limit lies on the wrong side of the value when new"


def test_a_coarse_reading_near_a_limit_cannot_tell_and_asks_for_a_finer_instrument() -> None:
    judged = judge(place("motor_side_contact", read("step", 0.9, u=0.3)))
    assert judged.verdict == "cannot_tell"
    assert judged.inside == pytest.approx(0.5)
    check = next_check(judged)
    assert check is not None and "finer instrument" in check


def test_close_to_the_limit_and_finely_read_is_near() -> None:
    judged = judge(place("motor_side_contact", read("step", 0.9, u=0.02)))
    assert judged.verdict == "near_limit"
    assert judged.inside == pytest.approx(0.5)
    assert judge(place("motor_side_contact", read("step", 0.8, u=0.01))).verdict == "near_limit"
    assert judge(place("motor_side_contact", read("step", 0.6, u=0.01))).verdict == "good"


def test_an_exact_reading_on_the_limit_is_inside() -> None:
    on_it = judge(place("commutator", read("undercut", 0.2)))
    assert on_it.inside == 1.0
    assert judge(place("commutator", read("run_out", 0.05))).inside == 1.0


@pytest.mark.parametrize(
    ("new", "length", "verdict"),
    [((16.0, 20.0), 15.0, "good"), ((16.0, 20.0), 11.5, "cannot_tell"), ((16.0, 20.0), 9.0, "renew")],
)
def test_where_listed_sizes_differ_only_what_holds_for_all_is_told(
    new: tuple[float, ...], length: float, verdict: str
) -> None:
    judged = judge(place("brush_set", read("length", length, u=0.012), new={"length": new}))
    assert judged.verdict == verdict
    assert judged.wear_share is None
    check = next_check(judged)
    if verdict == "cannot_tell":
        assert judged.inside is None
        assert check is not None and "state the one that was fitted" in check.lower()
        assert not any(one.used for one in judged.limits)


def test_a_journal_is_judged_with_a_new_bush_of_every_size_listed() -> None:
    at = place("drive_end_bushing", read("journal_diameter", 12.45, u=0.004), new={"bore": (12.515, 12.7)})
    assert judge(at).verdict == "cannot_tell"
    at = place("drive_end_bushing", read("journal_diameter", 12.45, u=0.004), new={"bore": (12.515, 12.52)})
    assert judge(at).verdict == "good"


@pytest.mark.parametrize(
    ("feature", "where", "above", "verdict"),
    [
        ("resistance_to_ground_ohms", "armature", 2e6, "good"),
        ("resistance_to_ground_ohms", "armature", 2e5, "cannot_tell"),
        ("overrun_torque_newton_metres", "drive_clutch", 1.0, "renew"),
        ("overrun_torque_newton_metres", "drive_clutch", 0.1, "cannot_tell"),
    ],
)
def test_a_meter_over_its_range_tells_only_what_is_sure(
    feature: str, where: str, above: float, verdict: str
) -> None:
    reading = BenchReading(feature=feature, pieces=(Piece(Known(above), "over", above=True),))
    judged = judge(place(where, reading))
    assert judged.verdict == verdict
    assert "above" in judged.reason


def test_what_is_seen_is_judged_without_a_probability() -> None:
    judged = judge(place("plunger", seen("movement", "bound")))
    assert (judged.verdict, judged.inside) == ("cannot_tell", None)
    assert next_check(judged) == "Free it, clean it, and judge it again: that costs no part."
    rubbed = judge(place("armature", seen("core", "rubbed_bright")))
    assert rubbed.verdict == "near_limit"
    assert next_check(rubbed) == "Read every bore and journal, and the run-out of shaft and core."


def test_the_reason_names_diameters_and_scatter() -> None:
    bore = read("bore", 12.6, u=0.012)
    oval = BenchReading(feature="bore", pieces=bore.pieces, diameters=2)
    assert "the worst of 2 diameters" in judge(place("drive_end_bushing", oval)).reason
    scattered = BenchReading(feature="bore", pieces=bore.pieces, repeats_disagree=True)
    assert "differ by more" in judge(place("drive_end_bushing", scattered)).reason


def test_a_limit_that_is_only_shown_is_never_used() -> None:
    judged = judge(place("brush_set", read("spring_force_newtons", 15.0, u=0.1)))
    assert judged.verdict == "renew"
    assert [one.used for one in judged.limits] == [True, False, False]
    check = next_check(judged)
    assert check is not None and "13.7" in check
    assert next_check(judge(place("brush_set", read("spring_force_newtons", 20.0, u=0.1)))) is None


def test_limits_of_other_machines_alone_give_no_verdict() -> None:
    others = attrs.evolve(BOOK, limits=tuple(row for row in BOOK.limits if row.shown_only))
    at = place("brush_set", read("spring_force_newtons", 20.0, u=0.1))
    judged = judge_feature(others, at, at.readings[0])
    assert judged.verdict == "cannot_tell"
    assert "for comparison only" in judged.why_limit


@pytest.mark.parametrize(
    "at",
    [
        place("drive_end_bushing", read("bore", 12.60, u=0.01), read("journal_diameter", 12.66, u=0.004)),
        place("drive_end_bushing", read("bore", 12.60, u=0.01), new={"journal_diameter": 12.66}),
        place("commutator_end_bushing", read("journal_diameter", 11.95, u=0.004), new={"bore": 8.01}),
    ],
)
def test_a_journal_thicker_than_its_bore_is_no_good_clearance(at: BenchPlace) -> None:
    """A clearance below nothing is below every limit, and yet nothing runs in it."""
    judged = judge(at)
    assert judged.verdict == "cannot_tell"
    assert (judged.inside, judged.wear_share) == (None, None)
    assert "thicker than the bore" in judged.reason
    check = next_check(judged)
    assert check is not None and "bush is of this place" in check
    assert "finer instrument" not in check


def test_a_tight_new_bush_whose_clearance_the_reading_cannot_separate_from_none_is_good() -> None:
    at = place("drive_end_bushing", read("bore", 12.60, u=0.02), read("journal_diameter", 12.59, u=0.004))
    assert judge(at).verdict == "good"


def test_a_piece_longer_than_a_listed_size_when_new_is_of_another_size() -> None:
    """Two thirds of 20 mm are 13.33 mm (US Army TM 10-3930-664-24): 17 mm cannot be of the 16 mm size."""
    at = place("brush_set", read("length", 17.0, u=0.012), new={"length": (16.0, 20.0)})
    judged = judge(at)
    assert judged.verdict == "good"
    assert judged.wear_share == pytest.approx(3.0 / (20.0 - 40 / 3))
    assert "taken for the size of 20.000 mm when new" in judged.reason
    open_still = place("brush_set", read("length", 12.0, u=0.012), new={"length": (16.0, 20.0)})
    assert judge(open_still).verdict == "cannot_tell"


def test_of_a_set_the_longest_brush_says_which_size_was_fitted_and_the_shortest_how_worn_it_is() -> None:
    at = place("brush_set", read("length", 16.5, 12.0, u=0.012), new={"length": (16.0, 20.0)})
    assert judge(at).verdict == "renew"


def test_a_piece_longer_than_every_listed_size_is_judged_by_all_of_them() -> None:
    at = place("brush_set", read("length", 21.0, u=0.012), new={"length": (16.0, 20.0)})
    assert "the same by every size listed" in judge(at).reason


def test_a_megohm_is_written_out() -> None:
    judged = judge(place("armature", read("resistance_to_ground_ohms", 5e6, u=1e5)))
    assert "5000000 ohm, at least 1000000 ohm" in judged.reason
