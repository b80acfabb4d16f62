"""The repairer asks before he buys: do these contacts and these brushes go in, and are the old ones done?"""

from copy import deepcopy
from typing import Any

import httpx
import pytest

from api.fit.brushes.brush_routes import EXAMPLE as BRUSH
from api.fit.contacts.contact_routes import EXAMPLE as PAIR

PAIR_PATH = "/v1/fit-checks/contact-pair"
BRUSH_PATH = "/v1/fit-checks/brush"


def changed(body: dict[str, Any], **changes: object) -> dict[str, Any]:
    """Return a body with members set by their path (`motor_side__thickness`); None takes one out."""
    result = deepcopy(body)
    for path, value in changes.items():
        *steps, last = path.split("__")
        place = result
        for step in steps:
            place = place.setdefault(step, {})
        place[last] = value
        if value is None:
            del place[last]
    return result


def reasons(answer: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {one["dimension"]: one for one in answer["reasons"]}


def figures(reason: dict[str, Any]) -> dict[str, float]:
    return reason["figures"]


def faults(answer: httpx.Response) -> dict[str, dict[str, Any]]:
    assert answer.status_code == 400
    assert answer.headers["content-type"] == "application/problem+json"
    return {one["pointer"]: one for one in answer.json()["errors"]}


def test_a_new_contact_beside_a_worn_one_is_judged_with_its_figures(service: httpx.Client) -> None:
    answer = service.post(PAIR_PATH, json=PAIR)
    assert answer.status_code == 200
    body = answer.json()
    assert body["verdict"] == "fits"
    told = reasons(body)
    assert figures(told["battery_side.stud_hole"])["least_clearance_mm"] == pytest.approx(0.43)
    assert figures(told["face_height"])["least_over_travel_left_mm"] == pytest.approx(0.6, abs=0.01)
    assert "one 12 V, 1.4 kW starter" in told["motor_side.thickness"]["reason"]
    # By hand: 8.5 mm / (58 MS/m x 14 x 2.5 mm2) = 4.187 micro-ohm.
    battery = body["heating"]["bodies"][0]
    assert battery["resistance_microohms"] == pytest.approx(4.187, abs=0.001)
    assert body["heating"]["volts"] == pytest.approx(sum(one["volts"] for one in body["heating"]["bodies"]))
    published = [figures(one)["published_greatest_drop_volts"] for one in body["reported"]]
    assert published == pytest.approx([0.2, 0.6])


@pytest.mark.parametrize(
    ("changes", "dimension", "verdict"),
    [
        ({"motor_side__face_height": "6.9 mm"}, "face_height", "does_not_fit"),
        ({"motor_side__thickness": "1.5 mm"}, "motor_side.thickness", "does_not_fit"),
        ({"motor_side__step": "1.2 mm"}, "motor_side.step", "does_not_fit"),
        ({"motor_side__nut_thread": "5/16-18"}, "motor_side.nut_thread", "does_not_fit"),
        ({"battery_side__stud_hole": "7.5 mm"}, "battery_side.stud_hole", "does_not_fit"),
        ({"disc__diameter": "20 mm"}, "battery_side.disc_diameter", "does_not_fit"),
        ({"disc_travel": "1.1 mm"}, "over_travel", "does_not_fit"),
        ({"disc_travel": None}, "over_travel", "unknown"),
        ({"battery_side__face_height": None}, "face_height", "unknown"),
        ({"greatest_drop_volts": 0.001}, "voltage_drop", "does_not_fit"),
        ({"greatest_rise_kelvin": 1}, "temperature_rise", "unknown"),
        ({"greatest_rise_kelvin": 50, "crank_seconds": None}, "temperature_rise", "unknown"),
        ({"greatest_drop_volts": 0.2, "cranking_current_amperes": None}, "voltage_drop", "unknown"),
    ],
)
def test_the_limiting_reason_of_a_pair_is_named(
    service: httpx.Client, changes: dict[str, object], dimension: str, verdict: str
) -> None:
    body = service.post(PAIR_PATH, json=changed(PAIR, **changes)).json()
    assert (body["verdict"], body["limiting"]["dimension"]) == (verdict, dimension)


def test_a_contact_in_one_piece_with_its_stud_is_known_by_its_thread(service: httpx.Client) -> None:
    bolt = changed(PAIR, battery_side__stud_hole=None, battery_side__own_stud={"thread": "M8"})
    assert reasons(service.post(PAIR_PATH, json=bolt).json())["battery_side.stud_thread"]["verdict"] == "fits"
    bolt["battery_side"]["own_stud"] = {"diameter": "7.85 mm"}
    alike = service.post(PAIR_PATH, json=bolt).json()
    assert reasons(alike)["battery_side.stud_diameter"]["verdict"] == "unknown"


def test_heating_that_cannot_be_computed_says_what_is_missing(service: httpx.Client) -> None:
    body = service.post(PAIR_PATH, json=changed(PAIR, disc__thickness=None)).json()
    assert body["heating"] is None
    assert "thickness" in body["reported"][0]["text"]


def test_all_faults_of_a_pair_are_named_at_once(service: httpx.Client) -> None:
    wrong = changed(
        PAIR,
        battery_side__seat_stud={"thread": "M9", "diameter": "0 mm"},
        battery_side__own_stud={"diameter": "8"},
        battery_side__seat_offset="25 mm",
        motor_side__seat_stud={"thread": "M8", "diameter": "10 mm"},
        motor_side__step="3 mm",
        motor_side__thickness="2.8 mm",
        motor_side__least_thickness="2.7 mm",
        wear_limit="-1 mm",
        cranking_current_amperes=-5,
        crank_seconds=0,
        start_celsius=-300,
        greatest_drop_volts=99,
        greatest_rise_kelvin=0,
    )
    found = faults(service.post(PAIR_PATH, json=wrong))
    assert set(found) == {
        "#/battery_side/seat_stud/thread",
        "#/battery_side/seat_stud/diameter",
        "#/battery_side/own_stud",
        "#/battery_side/own_stud/diameter",
        "#/battery_side/seat_offset",
        "#/motor_side/seat_stud/diameter",
        "#/motor_side/step",
        "#/motor_side/thickness",
        "#/motor_side/least_thickness",
        "#/wear_limit",
        "#/cranking_current_amperes",
        "#/crank_seconds",
        "#/start_celsius",
        "#/greatest_drop_volts",
        "#/greatest_rise_kelvin",
    }
    assert found["#/battery_side/seat_stud/thread"]["nearest"] == "M8x1.25"
    assert "2.450..2.550 mm" in found["#/motor_side/step"]["expected"]
    assert "2.450..2.550 mm" in found["#/motor_side/thickness"]["expected"]


def test_a_worn_brush_is_judged_with_its_figures(service: httpx.Client) -> None:
    answer = service.post(BRUSH_PATH, json=BRUSH)
    assert answer.status_code == 200
    body = answer.json()
    assert body["verdict"] == "fits"
    told = reasons(body)
    assert figures(told["thickness"])["published_most_clearance_mm"] == pytest.approx(0.193)
    # By hand: 16 mm x 11.5 / 17 = 10.824 mm; 40 % of 16 mm = 6.4 mm is told beside it.
    assert figures(told["length"])["discard_length_mm"] == pytest.approx(10.824, abs=0.001)
    discards = [one for one in body["reported"] if one["topic"] == "discard_length"]
    assert [figures(one)["discard_length_mm"] for one in discards] == pytest.approx([6.4, 10.824], abs=0.001)
    # By hand: 150 A / (0.792 x 1.590 cm2) = 119.1 A/cm2, reported and not judged.
    density = next(one for one in body["reported"] if one["topic"] == "current_density")
    assert next(iter(density["figures"].values())) == pytest.approx(119.1, abs=0.05)
    assert "current_density" not in told


@pytest.mark.parametrize(
    ("changes", "dimension", "verdict"),
    [
        ({"brush__length": "9 mm"}, "length", "does_not_fit"),
        ({"brush__length": None}, "length", "unknown"),
        ({"discard_length": "12.5 mm"}, "length", "does_not_fit"),
        ({"brush__rated_voltage": 24}, "rated_voltage", "does_not_fit"),
        ({"brush__grade": "copper_lean_24v"}, "rated_voltage", "does_not_fit"),
        ({"starter__brush_count": 6}, "brush_count", "does_not_fit"),
        ({"brush__thickness": "8.2 mm"}, "thickness", "does_not_fit"),
        ({"holder__width": None}, "width", "unknown"),
        ({"brush__lead_length": "30 mm"}, "lead_length", "does_not_fit"),
        ({"starter__terminal": "bare", "brush__terminal": "eyelet"}, "terminal", "fits_with_rework"),
        ({"spring_force_newtons": 9, "least_spring_force_newtons": 12}, "spring_force", "does_not_fit"),
        ({"spring_force_newtons": 9}, "spring_force", "unknown"),
        (
            {"greatest_current_density_amperes_per_square_centimetre": 100},
            "current_density",
            "does_not_fit",
        ),
        (
            {
                "greatest_current_density_amperes_per_square_centimetre": 100,
                "cranking_current_amperes": None,
            },
            "current_density",
            "unknown",
        ),
    ],
)
def test_the_limiting_reason_of_a_brush_is_named(
    service: httpx.Client, changes: dict[str, object], dimension: str, verdict: str
) -> None:
    body = service.post(BRUSH_PATH, json=changed(BRUSH, **changes)).json()
    assert (body["verdict"], body["limiting"]["dimension"]) == (verdict, dimension)


def test_all_faults_of_a_brush_are_named_at_once(service: httpx.Client) -> None:
    wrong = changed(
        BRUSH,
        holder__width="16 mm h7",
        brush__thickness="16 mm",
        brush__length="17 mm",
        brush__count=3,
        brush__rated_voltage=48,
        starter__brush_count=0,
        discard_length="20 mm",
        spring_force_newtons=0,
        least_spring_force_newtons=20,
        most_spring_force_newtons=10,
        cranking_current_amperes=1e9,
    )
    found = faults(service.post(BRUSH_PATH, json=wrong))
    assert set(found) == {
        "#/holder/width",
        "#/brush/thickness",
        "#/brush/length",
        "#/brush/count",
        "#/brush/rated_voltage",
        "#/starter/brush_count",
        "#/discard_length",
        "#/spring_force_newtons",
        "#/least_spring_force_newtons",
        "#/cranking_current_amperes",
    }
    assert "8.025..8.083 mm" in found["#/brush/thickness"]["expected"]


def test_a_wear_that_would_leave_no_copper_is_refused(service: httpx.Client) -> None:
    found = faults(service.post(PAIR_PATH, json=changed(PAIR, wear_limit="2.6 mm")))
    assert set(found) == {"#/wear_limit"}
    assert "2.550 mm" in found["#/wear_limit"]["expected"]


def test_a_choice_that_does_not_exist_names_the_nearest(service: httpx.Client) -> None:
    found = faults(service.post(BRUSH_PATH, json=changed(BRUSH, brush__terminal="eyelett")))
    assert found["#/brush/terminal"]["nearest"] == "eyelet"


@pytest.mark.parametrize(
    ("path", "body"),
    [
        (PAIR_PATH, {"battery_side": {}, "motor_side": {}, "disc": {}}),
        (BRUSH_PATH, {"holder": {}, "brush": {}, "starter": {}}),
    ],
)
def test_nothing_stated_is_unknown_and_never_a_pass(
    service: httpx.Client, path: str, body: dict[str, Any]
) -> None:
    answer = service.post(path, json=body).json()
    assert answer["verdict"] == "unknown"
    assert {one["verdict"] for one in answer["reasons"]} == {"unknown"}


@pytest.mark.parametrize(("path", "body"), [(PAIR_PATH, PAIR), (BRUSH_PATH, BRUSH)])
def test_cautions_stand_at_their_steps(service: httpx.Client, path: str, body: dict[str, Any]) -> None:
    cautions = service.post(path, json=body).json()["cautions"]
    battery = {one["step"]: one["battery"] for one in cautions}
    assert battery["remove the starter"] == "disconnected"
    assert battery["crank, to measure the voltage lost"] == "connected"
    told = " ".join(one["caution"] for one in cautions)
    for words in ("manual", "eye protection", "No grease", "wheels chocked", "negative first off"):
        assert words in told


def test_copper_that_would_melt_is_named_instead_of_a_rise(service: httpx.Client) -> None:
    """5,000 A for 120 s through 35 mm2: some 12,000 K were heat kept in, far beyond 1,085 degrees Celsius."""
    asked = changed(PAIR, cranking_current_amperes=5_000, crank_seconds=120)
    answer = service.post(PAIR_PATH, json=asked).json()
    assert {one["rise_kelvin"] for one in answer["heating"]["bodies"]} == {None}
    melting = [one for one in answer["reported"] if one["topic"] == "temperature_rise"]
    assert len(melting) == 3
    # By hand: 5,000 A / (14 x 2.5 mm2) = 142.9 A/mm2.
    assert figures(melting[0])["amperes_per_square_millimetre"] == pytest.approx(142.86, abs=0.01)
    assert all("melting point" in one["text"] for one in melting)
    mild = service.post(PAIR_PATH, json=PAIR).json()["reported"]
    assert {one["topic"] for one in mild} == {"voltage_drop"}
