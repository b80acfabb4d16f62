"""A family that nobody had is added from what was measured of its seats, and takes part at once."""

from collections.abc import Iterator
from typing import Any

import pytest
from bench_bodies import GAUGE, SCOPE, kept, known, new_bush, record, seat_known
from catalogue_bodies import family
from catalogue_writing import Writer, done, writing
from databases import BACKENDS
from wear_part_bodies import TODAY, made_part

POSITION = "drive_end_bushing"
MICROMETER = {"instrument": "outside_micrometer", "surface": "unworn"}


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def bare_family(writer: Writer) -> str:
    """Make a family whose one position has no seat recorded yet; return its code."""
    body = family(position=[{"code": POSITION, "kind": "bushing", "quantity": 1}])
    done(writer.post("/v1/families", body, SCOPE), 201)
    return str(body["code"])


def seat(bore: str, shaft: str) -> dict[str, Any]:
    return {
        "housing_bore": {"text": f"{bore} mm", **GAUGE},
        "housing_bore_form": "through",
        "housing_depth": "12.40 mm",
        "shaft_diameter": {"text": f"{shaft} mm", **MICROMETER},
        "housing_material": "aluminium",
        "housing_outside_diameter": "24.0 mm",
    }


def grades(writer: Writer, code: str) -> dict[str, str]:
    """Return the grade of every part at the family's position, by number."""
    told = writer.read(f"/v1/families/{code}/interchange", position=POSITION, limit=1000)
    return {one["part"]["number"]: one["grade"] for one in told["positions"][0]["parts"]}


def test_the_position_learns_its_seat_and_parts_are_graded_in_it(writer: Writer) -> None:
    """Three units with seats as ISO 2795 has them for a bush of 12.5 x 16: 16H7 and a shaft of 12.46 mm."""
    code = bare_family(writer)
    path = f"/v1/families/{code}/positions/{POSITION}"
    assert writer.read(path)["seat"] == {}
    listing = {"maker": "ombrisk", "number": "OM 3295"}  # 12.5 x 16 x 12, the size of such seats
    done(writer.post(f"{path}/listings", listing, SCOPE), 201)
    unseated = grades(writer, code)
    assert set(unseated.values()) == {"unknown"}
    paths = [
        kept(writer, record(unit, seat(bore, shaft), family=code, position=POSITION))
        for unit, bore, shaft in (
            ("unit 1", "16.006", "12.458"),
            ("unit 2", "16.010", "12.462"),
            ("unit 3", "16.014", "12.460"),
        )
    ]
    told = seat_known(writer, code, POSITION)
    assert {one["standing"] for one in told.values()} == {"follows_records"}
    assert {one["evidence"]["specimens"] for one in told.values()} == {3}
    bore = told["housing_bore"]
    assert bore["held"]["provenance"] == "measured"
    assert bore["evidence"]["length"]["mean_mm"] == pytest.approx(16.010)
    assert 0.001 < bore["held"]["knowledge_uncertainty_mm"] < 0.02
    assert [one["record"] for one in bore["history"]] == [one.rsplit("/", 1)[1] for one in paths]
    assert told["housing_bore_form"]["held"]["text"] == "through"
    assert set(writer.read(path)["seat"]) == set(told)

    seated = grades(writer, code)
    assert seated["OM 3295"] == "fits"
    assert set(seated) == set(unseated)

    for one in paths:
        done(writer.patch(one, {"withdrawn_on": TODAY}, SCOPE))
    assert writer.read(path)["seat"] == {}
    assert seat_known(writer, code, POSITION)["housing_bore"]["standing"] == "not_measured"
    assert grades(writer, code) == unseated


def test_a_new_size_measured_from_a_new_familys_bush_is_found_and_fits_there(writer: Writer) -> None:
    """A bush of 13.7 x 17.3 x 14, of which nobody had one: seat, size, part and listing from the bench."""
    code = bare_family(writer)
    for unit, bore in (("unit 1", "17.306"), ("unit 2", "17.310")):
        readings = {
            **seat(bore, "13.660"),
            "housing_depth": "14.40 mm",
            "housing_outside_diameter": "27.0 mm",
        }
        kept(writer, record(unit, readings, family=code, position=POSITION))
    for name, bore, outside in (("new a", "13.712", "17.340"), ("new b", "13.716", "17.344")):
        readings = new_bush(bore, outside, "14.00 mm") | {
            "bore": {"text": f"{bore} mm", **GAUGE},
            "outside_diameter": {"text": f"{outside} mm", **MICROMETER},
            "construction": "porous",
        }
        kept(writer, record(name, readings, size="bush-13.7x17.3x14", kind="bushing"))
    assert known(writer, "bush-13.7x17.3x14", "bore")["evidence"]["specimens"] == 2
    part = made_part(
        writer, "OM 3999", size="bush-13.7x17.3x14", provenance="measured", material="tin bronze, porous"
    )
    listing = {"maker": "ombrisk", "number": "OM 3999"}
    done(writer.post(f"/v1/families/{code}/positions/{POSITION}/listings", listing, SCOPE), 201)

    match = writer.read("/v1/matches/bushing", bore="13.72mm", outside_diameter="17.34mm", condition="new")
    best = match["candidates"][0]
    assert (best["part"]["number"], best["rests_on"]) == ("OM 3999", "measured")
    assert {one["provenance"] for one in best["dimensions"]} == {"measured"}
    assert all(one["knowledge_uncertainty_mm"] > 0 for one in best["dimensions"])
    assert grades(writer, code)["OM 3999"] in ("fits", "fits_with_rework")
    assert code in {one["family"] for one in writer.read(f"{part}/families")["items"]}


def test_a_seat_that_was_stated_is_not_overwritten(writer: Writer) -> None:
    body = family()
    done(writer.post("/v1/families", body, SCOPE), 201)
    path = f"/v1/families/{body['code']}/positions/{POSITION}"
    before = writer.read(path)
    for unit in ("a", "b"):
        readings = {"housing_bore": {"text": "16.21 mm", **GAUGE}}
        kept(writer, record(unit, readings, family=body["code"], position=POSITION))
    assert writer.read(path) == before
    told = seat_known(writer, body["code"], POSITION)["housing_bore"]
    assert (told["standing"], told["held"]["provenance"]) == ("stated", "stated")
    assert told["disagreement"]["gap_mm"] == pytest.approx(16.21 - 16.018)


def test_a_shaft_wider_than_its_bore_is_not_kept_in_a_seat(writer: Writer) -> None:
    code = bare_family(writer)
    readings = {
        "housing_bore": {"text": "16.01 mm", **GAUGE},
        "shaft_diameter": {"text": "16.5 mm", **MICROMETER},
    }
    kept(writer, record("mixed up", readings, family=code, position=POSITION))
    told = seat_known(writer, code, POSITION)
    broken = [one for one in told.values() if one["standing"] == "breaks_a_rule"]
    assert [one["feature"] for one in broken] == ["shaft_diameter"]
    assert broken[0]["expected"] == "less than housing_bore"
    assert broken[0]["held"]["text"] is None
