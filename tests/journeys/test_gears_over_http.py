"""A pinion identified and its mesh judged over HTTP, and what is refused."""

from typing import Any

import httpx
import pytest

IDENTITY = "/v1/fit-checks/pinion-identity"
MESH = "/v1/fit-checks/gear-mesh"
PROBLEM = "application/problem+json"
READ = {
    "teeth": 9,
    "tip_diameter": "29.40 mm",
    "base_tangent_2": "12.41 mm",
    "base_tangent_3": "19.90 mm",
}
PAIR: dict[str, Any] = {
    "pinion": {"teeth": 9, "profile_shift": 0.5, "addendum": 0.83333333},
    "ring": {"teeth": 130, "profile_shift": 0, "addendum": 0.83333333},
    "diametral_pitch": 10,
    "pressure_angle": 20,
}


def answered(service: httpx.Client, path: str, body: Any) -> Any:
    response = service.post(path, json=body)
    assert response.status_code == 200, response.text
    return response.json()


def refused(service: httpx.Client, path: str, body: Any) -> dict[str, Any]:
    """Return the faults of a body that has to be refused, by pointer."""
    response = service.post(path, json=body)
    assert response.status_code == 400, response.text
    assert response.headers["content-type"] == PROBLEM
    return {fault["pointer"]: fault for fault in response.json()["errors"]}


def test_a_worn_pinion_is_identified(service: httpx.Client) -> None:
    found = answered(service, IDENTITY, {**READ, "tip_read": "across_tips"})
    assert found["identified"]
    first = found["candidates"][0]
    assert (first["diametral_pitch"], first["pressure_angle_degrees"]) == (10, 20)
    assert first["tooth_height"] == "stub 10/12"
    assert first["profile_shift_range"]["lower"] <= 0.5 <= first["profile_shift_range"]["upper"]
    # Base pitch of 10 DP at 20 degrees: pi 2.54 cos 20 = 7.49841 mm.
    assert first["base_pitch_mm"] == pytest.approx(7.49841, abs=5e-6)
    assert found["read_base_pitch_mm"] == pytest.approx(7.49)
    assert found["cautions"] and found["assumptions"] and first["reasons"]


def test_readings_take_inches_limits_and_their_own_uncertainty(service: httpx.Client) -> None:
    found = answered(
        service,
        IDENTITY,
        {
            "teeth": 10,
            "tip_diameter": "1.5703..1.5750 in",
            "base_tangent_2": {"text": "0.6130 in", "instrument": "digital_caliper"},
            "base_tangent_3": {"text": "0.9820 in", "uncertainty": "0.0005 in"},
        },
    )
    assert found["candidates"][0]["name"] == "8 DP at 20 degrees"


def test_one_span_alone_says_what_would_tell_more(service: httpx.Client) -> None:
    found = answered(service, IDENTITY, {"teeth": 9, "base_tangent_2": "12.44 mm"})
    assert not found["identified"]
    assert "span over 3 teeth" in found["statement"]
    listed = sum(one["weight"] for one in found["candidates"])
    assert listed + found["remaining_weight"] == pytest.approx(1)
    assert found["candidate_count"] >= len(found["candidates"]) > 1


def test_figures_that_cannot_agree_are_refused_with_what_would(service: httpx.Client) -> None:
    faults = refused(service, IDENTITY, {**READ, "teeth": 10})
    assert faults["#/teeth"]["code"] == "cannot_agree"
    assert "9 teeth" in faults["#/teeth"]["expected"]
    faults = refused(service, IDENTITY, {**READ, "tip_diameter": "40 mm"})
    assert set(faults) == {"#/tip_diameter"}
    assert "10 DP" in faults["#/tip_diameter"]["expected"]


def test_a_pinion_without_a_length_is_refused(service: httpx.Client) -> None:
    (fault,) = refused(service, IDENTITY, {"teeth": 9}).values()
    assert "base_tangent_3" in fault["expected"]


def test_faulty_readings_are_named_all_at_once(service: httpx.Client) -> None:
    body = {
        "teeth": 9,
        "tip_diameter": "29.63",
        "base_tangent_2": "-1 mm",
        "base_tangent_3": {"text": "19.9 mm", "instrument": "calliper"},
    }
    faults = refused(service, IDENTITY, body)
    assert set(faults) == {"#/tip_diameter", "#/base_tangent_2", "#/base_tangent_3/instrument"}


# By the textbook formulas: 177.768 mm without backlash, contact ratio 1.158 there, 0.868 at 178.562 mm.
def test_a_cranking_mesh_below_contact_ratio_1_is_reported(service: httpx.Client) -> None:
    tight = answered(service, MESH, PAIR)
    assert tight["zero_backlash_centre_distance"]["mm"] == pytest.approx(177.768, abs=5e-4)
    assert tight["contact_ratio"]["without_tip_shortening"] == pytest.approx(1.158, abs=6e-4)
    assert tight["backlash_mm"] == {"circumferential": 0, "normal": 0}
    assert tight["armature_speed_rpm"] is None
    wide = answered(service, MESH, {**PAIR, "centre_distance": "178.562 mm"})
    assert wide["contact_ratio"]["without_tip_shortening"] == pytest.approx(0.868, abs=6e-4)
    assert any("below 1" in finding for finding in wide["findings"])
    assert wide["backlash_mm"]["circumferential"] > wide["backlash_mm"]["normal"] > 0


def test_what_is_left_out_of_a_mesh_is_told_with_what_is_taken(service: httpx.Client) -> None:
    whole = answered(service, MESH, PAIR)
    assert not any("stated:" in one for one in whole["assumptions"])
    bare = answered(service, MESH, {"pinion": {"teeth": 9}, "ring": PAIR["ring"], "diametral_pitch": 10})
    taken = [one for one in bare["assumptions"] if "stated:" in one]
    assert [one.split(" stated: ")[0] for one in taken] == [
        "No pressure angle is",
        "No profile shift of the pinion is",
        "No addendum of the pinion is",
    ]
    (of_speed,) = set(answered(service, MESH, {**PAIR, "engine_rpm": 900})["assumptions"]) - set(
        whole["assumptions"]
    )
    assert of_speed.startswith("No internal reduction is stated: 1 is taken")
    geared = answered(service, MESH, {**PAIR, "engine_rpm": 900, "internal_reduction": 1})
    assert geared["assumptions"] == whole["assumptions"]
    assert bare["pressure_angle_degrees"] == 20
    assert (bare["pinion"]["profile_shift"], bare["ring"]["profile_shift"]) == (0, 0)
    # The tip of a full-depth gear without shift: module x (teeth + 2) = 2.54 x 11.
    assert bare["pinion"]["tip_diameter"]["mm"] == pytest.approx(27.94, abs=1e-6)
    # What the words say of a shift: half a module more moves the axes by about half a module, 1.27 mm. By the
    # textbook formulas without backlash they stand at 177.768 mm, and at 2.54 x 139 / 2 without a shift.
    moved = whole["zero_backlash_centre_distance"]["mm"] - bare["zero_backlash_centre_distance"]["mm"]
    assert moved == pytest.approx(177.768 - 176.53, abs=1e-3)
    assert moved == pytest.approx(0.5 * 2.54, rel=0.03)


# Tips of 29.633 and 334.433 mm reach each other up to 182.033 mm between the axes; the path of contact ends
# before that.
@pytest.mark.parametrize(
    ("distance", "told", "of_backlash"),
    [
        ("181.9 mm", "at most the corners of the tips touch", True),
        ("182.1 mm", "out of mesh", False),
        ("1000 mm", "out of mesh", False),
    ],
)
def test_gears_that_stand_too_far_apart_to_drive_are_said_to(
    service: httpx.Client, distance: str, told: str, of_backlash: bool
) -> None:
    found = answered(service, MESH, {**PAIR, "centre_distance": distance})
    assert found["contact_ratio"]["without_tip_shortening"] < 0
    assert told in found["findings"][0]
    assert any("backlash" in finding for finding in found["findings"]) is of_backlash


# Profile-shifted pair as gear handbooks print it: contact ratio 1.202 with tip shortening, 1.348 without.
def test_the_handbook_pair(service: httpx.Client) -> None:
    body = {
        "pinion": {"teeth": 12, "profile_shift": 0.6},
        "ring": {"teeth": 24, "profile_shift": 0.36},
        "module": "3 mm",
        "pressure_angle": 20,
    }
    found = answered(service, MESH, body)
    assert found["zero_backlash_centre_distance"]["mm"] == pytest.approx(56.49987, abs=5e-6)
    assert found["working_pressure_angle_degrees"] == pytest.approx(26.0886, abs=5e-5)
    assert found["contact_ratio"]["with_tip_shortening"] == pytest.approx(1.202, abs=5e-4)
    assert found["contact_ratio"]["without_tip_shortening"] == pytest.approx(1.3478, abs=5e-5)
    assert found["pinion"]["tip_diameter_shortened"]["mm"] == pytest.approx(44.840, abs=5e-4)
    again = answered(
        service, MESH, {**body, "centre_distance": found["zero_backlash_centre_distance"]["text"]}
    )
    assert again["required_shift_sum"] == pytest.approx(0.96, abs=1e-5)


def test_the_armature_s_speed_comes_with_a_caution(service: httpx.Client) -> None:
    found = answered(service, MESH, {**PAIR, "engine_rpm": 800, "internal_reduction": 3.5})
    assert found["armature_speed_rpm"] == pytest.approx(40_444.4, abs=0.1)
    assert any("40444 rpm" in caution for caution in found["cautions"])


def test_a_centre_distance_below_contact_is_refused_with_the_figures(service: httpx.Client) -> None:
    faults = refused(service, MESH, {**PAIR, "centre_distance": "177 mm"})
    assert faults["#/centre_distance"]["code"] == "below_contact"
    assert "177.768 mm" in faults["#/centre_distance"]["expected"]


def with_pinion(**change: Any) -> dict[str, Any]:
    return {**PAIR, "pinion": {**PAIR["pinion"], **change}}


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({**PAIR, "module": "2.54 mm"}, {"#/module"}),
        ({name: PAIR[name] for name in ("pinion", "ring")}, {"#/diametral_pitch"}),
        ({**PAIR, "diametral_pitch": None, "module": "40 mm"}, {"#/module"}),
        ({**PAIR, "diametral_pitch": None, "module": "nonsense"}, {"#/module"}),
        (with_pinion(tip_diameter="40 mm"), {"#/pinion/tip_diameter"}),
        (with_pinion(tip_diameter="15 mm"), {"#/pinion/tip_diameter"}),
        (with_pinion(tip_diameter="2 furlongs"), {"#/pinion/tip_diameter"}),
        (with_pinion(profile_shift=1.5), {"#/pinion/profile_shift"}),
        (with_pinion(profile_shift=9), {"#/pinion/profile_shift"}),
        (with_pinion(teeth=0), {"#/pinion/teeth"}),
        (with_pinion(teeth=9.5), {"#/pinion/teeth"}),
        ({**PAIR, "pressure_angle": 90}, {"#/pressure_angle"}),
        ({**PAIR, "pressure_angle": "20"}, {"#/pressure_angle"}),
        ({**PAIR, "centre_distance": 178}, {"#/centre_distance"}),
        ({**PAIR, "engine_rpm": -1}, {"#/engine_rpm"}),
        ({**PAIR, "center_distance": "178 mm"}, {"#/center_distance"}),
        (
            {**with_pinion(tip_diameter="40 mm"), "ring": {"teeth": 130, "tip_diameter": "1 mm"}},
            {"#/pinion/tip_diameter", "#/ring/tip_diameter"},
        ),
        (
            {
                "pinion": {"teeth": 10, "profile_shift": -0.9},
                "ring": {"teeth": 12, "profile_shift": -0.9},
                "module": "2 mm",
            },
            {"#/pinion/profile_shift"},
        ),
    ],
)
def test_gears_that_cannot_be_are_refused(service: httpx.Client, body: Any, pointers: set[str]) -> None:
    faults = refused(service, MESH, body)
    assert set(faults) == pointers
    assert all(fault["expected"] for fault in faults.values())
