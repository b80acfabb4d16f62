"""What a value becomes when records speak: what stands, follows, is put back, and what a rule forbids."""

from collections.abc import Mapping

import pytest
from test_weighing_readings import count, length, of_bore

from api.records.evidence import Evidence, weigh_feature
from api.records.learn import Held, Learned, before_records, draw_lesson, keep_to_rules

DRAWN = Held("12.506..12.524 mm", "drawing")
BY_HAND = Held("12.506..12.524 mm", "measured")
NOTHING = Held()
NO_READING = weigh_feature("bore", [], None)
TWO = of_bore(length("a", 12.51), length("b", 12.52))
ONE = of_bore(length("a", 12.51))
ODD = of_bore(length("a", 12.51), length("b", 13.10))


def learned_of(evidence: Evidence) -> Held:
    return Held(evidence.value, "measured", evidence.uncertainty_nm)


@pytest.mark.parametrize("provenance", ["drawing", "catalogue", "stated"])
@pytest.mark.parametrize("evidence", [NO_READING, ONE, TWO, ODD])
def test_what_somebody_stated_is_never_overwritten(provenance: str, evidence: Evidence) -> None:
    stated = Held("12.506..12.524 mm", provenance)
    lesson = draw_lesson("bore", stated, evidence, ())
    assert (lesson.standing, lesson.target, lesson.is_news) == ("stated", stated, False)


def test_records_within_two_standard_uncertainties_of_the_limits_do_not_disagree() -> None:
    """JCGM 100:2008, 6.3.3: an expanded uncertainty with a coverage factor of 2."""
    lesson = draw_lesson("bore", DRAWN, ONE, ())
    assert lesson.disagreement is None
    assert ONE.uncertainty_nm is not None
    edge = 12.524 + 2 * ONE.uncertainty_nm / 1e6
    assert draw_lesson("bore", DRAWN, of_bore(length("a", edge - 0.001)), ()).disagreement is None
    beyond = draw_lesson("bore", DRAWN, of_bore(length("a", edge + 0.001)), ()).disagreement
    assert beyond is not None
    assert beyond.gap_nm == pytest.approx((edge + 0.001 - 12.524) * 1e6, abs=1)
    assert beyond.standardised is not None
    assert beyond.standardised == pytest.approx(2.0, abs=0.1)


def test_a_stated_count_that_specimens_contradict_is_told() -> None:
    lesson = draw_lesson("teeth", Held("9", "drawing"), weigh_feature("teeth", [count("a", 11)], None), ())
    assert lesson.target == Held("9", "drawing")
    assert lesson.disagreement is not None
    assert (lesson.disagreement.stated, lesson.disagreement.measured) == ("9", "11")


def test_what_was_not_recorded_follows_the_records() -> None:
    lesson = draw_lesson("bore", NOTHING, TWO, ())
    assert (lesson.standing, lesson.target) == ("follows_records", learned_of(TWO))


def test_what_was_measured_without_a_record_gives_way_to_two_specimens() -> None:
    assert draw_lesson("bore", BY_HAND, ONE, ()).target == BY_HAND
    assert draw_lesson("bore", BY_HAND, ONE, ()).standing == "stated"
    assert draw_lesson("bore", BY_HAND, TWO, ()).target == learned_of(TWO)


def test_inconsistent_records_put_back_what_stood_before_any() -> None:
    learned = learned_of(ONE)
    history = [Learned(NOTHING, learned)]
    lesson = draw_lesson("bore", learned, ODD, history)
    assert (lesson.standing, lesson.target) == ("inconsistent", NOTHING)
    by_hand = draw_lesson("bore", learned_of(TWO), ODD, [Learned(BY_HAND, learned_of(TWO))])
    assert (by_hand.standing, by_hand.target) == ("inconsistent", BY_HAND)


def test_without_records_what_stood_before_them_comes_back() -> None:
    first, second = learned_of(ONE), learned_of(TWO)
    history = [Learned(BY_HAND, first), Learned(first, second)]
    assert before_records(second, history) == BY_HAND
    assert draw_lesson("bore", second, NO_READING, history).target == BY_HAND


def test_what_somebody_wrote_since_counts_as_what_stood_before() -> None:
    history = [Learned(NOTHING, learned_of(ONE))]
    assert before_records(DRAWN, history) == DRAWN
    assert draw_lesson("bore", DRAWN, NO_READING, history).target == DRAWN


def test_what_breaks_a_rule_of_the_whole_is_left_as_it_was() -> None:
    def bore_below_outside(values: Mapping[str, str]) -> Mapping[str, str]:
        broken = {"bore", "outside"} <= set(values) and values["bore"] >= values["outside"]
        return {"bore": "less than outside"} if broken else {}

    bore = draw_lesson("bore", NOTHING, TWO, ())
    outside = draw_lesson("outside", Held("11.9 mm", "drawing"), NO_READING, ())
    kept = keep_to_rules([bore, outside], bore_below_outside)
    assert [(one.standing, one.target) for one in kept] == [
        ("breaks_a_rule", NOTHING),
        ("stated", Held("11.9 mm", "drawing")),
    ]
    assert kept[0].expected == "less than outside"


def test_a_change_that_makes_another_value_faulty_is_the_one_that_is_left() -> None:
    def outside_above_bore(values: Mapping[str, str]) -> Mapping[str, str]:
        broken = values.get("bore", "") >= values.get("outside", "~")
        return {"outside": "more than bore"} if broken else {}

    bore = draw_lesson("bore", NOTHING, TWO, ())
    width = draw_lesson("width", NOTHING, of_bore(length("a", 3.0)), ())
    outside = draw_lesson("outside", Held("11.9 mm", "drawing"), NO_READING, ())
    kept = {one.feature: one for one in keep_to_rules([width, bore, outside], outside_above_bore)}
    assert kept["bore"].standing == "breaks_a_rule"
    assert kept["width"].standing == "follows_records"
