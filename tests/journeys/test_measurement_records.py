"""Whoever measures writes down what he measured: the catalogue learns of it, and says what it rests on."""

from collections.abc import Iterator

import pytest
from bench_bodies import DAY, GAUGE, RECORDS, SCOPE, keep, kept, known, new_bush, record
from catalogue_writing import Writer, done, pointers, refused, writing
from databases import BACKENDS
from wear_part_bodies import TODAY, found, made_part, size

WITHDRAWN = {"withdrawn_on": TODAY}


@pytest.fixture(scope="module", params=BACKENDS)
def writer(request: pytest.FixtureRequest) -> Iterator[Writer]:
    with writing(request.param) as made:
        yield made


def test_a_record_is_kept_read_listed_withdrawn_and_restored(writer: Writer) -> None:
    body = record(
        "tray 4 b", {"bore": {"text": "12.512 mm", "repeats": ["12.514 mm"], **GAUGE}}, size="bush-12.5x16x12"
    )
    response = keep(writer, body)
    path, told = response.headers["Location"], response.json()
    assert writer.tag(path) == response.headers["ETag"]
    assert writer.read(path) == told
    assert (told["size"], told["kind"], told["part"], told["family"]) == (
        "bush-12.5x16x12",
        "bushing",
        None,
        None,
    )
    assert told["readings"] == [
        {
            "feature": "bore",
            "state": "recorded",
            "text": "12.513 mm",
            "written": ["12.512 mm", "12.514 mm"],
            "mm": 12.513,
            "instrument": "bore_gauge",
            "instrument_uncertainty_mm": told["readings"][0]["instrument_uncertainty_mm"],
            "surface": "unworn",
            "seated": "free",
            "count": None,
            "word": None,
            "tells_the_size": True,
        }
    ]
    assert told in writer.read(RECORDS, size="bush-12.5x16x12", specimen="tray 4 b")["items"]
    withdrawn = done(writer.patch(path, WITHDRAWN, SCOPE))
    assert withdrawn == {**told, "withdrawn_on": TODAY}
    assert writer.read(RECORDS, specimen="tray 4 b")["total"] == 0
    assert writer.read(RECORDS, specimen="tray 4 b", withdrawn="true")["items"] == [withdrawn]
    assert done(writer.patch(path, {"withdrawn_on": None}, SCOPE)) == told
    assert done(writer.patch(path, {}, SCOPE)) == told


def test_a_stated_value_stands_and_what_was_measured_is_told_beside_it(writer: Writer) -> None:
    """The drawing says 16.023..16.034 mm; two specimens of 15.8 mm contradict it and change nothing."""
    before = writer.read("/v1/sizes/bush-12.5x16x12")
    for place in ("a", "b"):
        kept(writer, record(f"odd {place}", {"outside_diameter": "15.80 mm"}, size="bush-12.5x16x12"))
    assert writer.read("/v1/sizes/bush-12.5x16x12") == before
    told = known(writer, "bush-12.5x16x12", "outside_diameter")
    assert (told["standing"], told["evidence"]["specimens"], told["evidence"]["consistent"]) == (
        "stated",
        2,
        True,
    )
    assert told["held"]["provenance"] == "drawing"
    assert told["held"]["knowledge_uncertainty_mm"] is None
    against = told["disagreement"]
    assert against["gap_mm"] == pytest.approx(15.8 - told["held"]["lower_mm"])
    assert against["standardised_gap"] < -2
    assert told["history"] == []


def test_what_was_not_recorded_is_learned_from_several_specimens_and_forgotten_with_them(
    writer: Writer,
) -> None:
    """A brush set of the seed says `n/a` of nothing here: the lead's length is left out, then measured."""
    path = "/v1/sizes/brush-bench"
    body = {
        "code": "brush-bench",
        "kind": "brush_set",
        "provenance": "drawing",
        "dimensions": {
            "length": "12.2..12.8 mm",
            "thickness": "4.890..4.970 mm",
            "width": "12.370..12.460 mm",
            "brush_count": 4,
        },
    }
    done(writer.post("/v1/sizes", body, SCOPE), 201)
    before, tag = writer.read(path), writer.tag(path)
    assert known(writer, "brush-bench", "lead_length")["standing"] == "not_measured"

    paths = [
        kept(writer, record(f"set {place}", {"lead_length": f"{length} mm"}, size="brush-bench"))
        for place, length in enumerate((31.0, 32.0, 33.0))
    ]
    told = known(writer, "brush-bench", "lead_length")
    evidence, length = told["evidence"], told["evidence"]["length"]
    assert (told["standing"], told["held"]["provenance"]) == ("follows_records", "measured")
    assert (evidence["specimens"], evidence["readings"], evidence["passed_over"]) == (3, 3, 0)
    assert evidence["records"] == [one.rsplit("/", 1)[1] for one in paths]
    assert length["mean_mm"] == pytest.approx(32.0)
    # One-way analysis of variance (JCGM 100:2008, H.5): variance 1 mm2 between, less the caliper's own step.
    assert length["between_specimens_mm"] == pytest.approx((1 - 0.01**2 / 12) ** 0.5, rel=1e-6)
    assert 0 < length["birge_ratio"] < 1.3
    assert told["held"]["knowledge_uncertainty_mm"] == pytest.approx(length["uncertainty_mm"], abs=2e-6)
    assert told["history"][0]["adopted"]["text"] == "31.000 mm"
    assert told["history"][0]["former"]["text"] is None
    at = next(one for one in writer.read(path)["dimensions"] if one["dimension"] == "lead_length")
    assert (at["lower_mm"], at["upper_mm"], at["provenance"]) == (
        told["held"]["lower_mm"],
        told["held"]["upper_mm"],
        "measured",
    )
    # A change of what was stated leaves what was measured, and how well it is known.
    done(writer.patch(path, {"dimensions": {"width": "12.380..12.460 mm"}}, SCOPE))
    assert known(writer, "brush-bench", "lead_length") == told
    done(writer.patch(path, {"dimensions": {"width": "12.370..12.460 mm"}}, SCOPE))

    for one in paths:
        done(writer.patch(one, WITHDRAWN, SCOPE))
    assert (writer.read(path), writer.tag(path)) == (before, tag)
    assert known(writer, "brush-bench", "lead_length")["held"]["text"] is None
    for one in reversed(paths):
        done(writer.patch(one, {"withdrawn_on": None}, SCOPE))
    assert known(writer, "brush-bench", "lead_length")["held"] == told["held"]


def test_worn_and_installed_readings_are_kept_and_teach_nothing(writer: Writer) -> None:
    before = writer.read("/v1/sizes/contact-k01-battery")
    readings = {
        "thickness": {"text": "2.11 mm", "surface": "worn"},
        "face_height": {"text": "8.90 mm", "state": "installed"},
    }
    path = kept(writer, record("stripped", readings, size="contact-k01-battery"))
    assert [one["tells_the_size"] for one in writer.read(path)["readings"]] == [False, False]
    assert writer.read("/v1/sizes/contact-k01-battery") == before
    for dimension in readings:
        evidence = known(writer, "contact-k01-battery", dimension)["evidence"]
        assert (evidence["specimens"], evidence["passed_over"], evidence["length"]) == (0, 1, None)


def test_a_shared_instrument_error_is_not_averaged_down(writer: Writer) -> None:
    """Ten specimens by one caliper, all alike: the mean is known no better than the caliper (GUM F.1.2.3)."""
    for place in range(10):
        kept(writer, record(f"no. {place}", {"width": {"text": "14.01 mm"}}, size="contact-k01-motor"))
    told = known(writer, "contact-k01-motor", "width")
    caliper = writer.read(RECORDS, size="contact-k01-motor", specimen="no. 1")["items"][0]
    shared = caliper["readings"][0]["instrument_uncertainty_mm"]
    assert told["evidence"]["specimens"] == 10
    assert told["evidence"]["length"]["uncertainty_mm"] >= shared
    assert told["standing"] == "stated"


def test_a_value_measured_before_gives_way_to_two_specimens_and_not_to_one(writer: Writer) -> None:
    """`bush-8x11x8` was measured by whoever made the catalogue; nobody kept how."""
    first = writer.read("/v1/sizes/bush-8x11x8")
    one = kept(writer, record("a", {"length": "8.02 mm"}, size="bush-8x11x8"))
    assert writer.read("/v1/sizes/bush-8x11x8") == first
    two = kept(writer, record("b", {"length": "8.06 mm"}, size="bush-8x11x8"))
    told = known(writer, "bush-8x11x8", "length")
    assert (told["standing"], told["history"][0]["former"]["text"]) == ("follows_records", "7.890..8.110 mm")
    assert told["held"]["lower_mm"] == pytest.approx(8.04, abs=0.05)
    done(writer.patch(one, WITHDRAWN, SCOPE))
    assert writer.read("/v1/sizes/bush-8x11x8") == first
    done(writer.patch(two, WITHDRAWN, SCOPE))
    assert writer.read("/v1/sizes/bush-8x11x8") == first


def test_inconsistent_specimens_are_flagged_and_the_odd_one_is_left_out(writer: Writer) -> None:
    kept(writer, record("a", new_bush("35.51 mm"), size="bush-odd", kind="bushing"))
    for name, bore in (("b", "35.52 mm"), ("c", "35.51 mm")):
        kept(writer, record(name, {"bore": bore}, size="bush-odd"))
    before = known(writer, "bush-odd", "bore")
    assert before["evidence"]["consistent"] is True
    wrong = kept(writer, record("wrong drawer", {"bore": "36.10 mm"}, size="bush-odd"))
    told = known(writer, "bush-odd", "bore")
    assert (told["standing"], told["evidence"]["consistent"]) == ("inconsistent", False)
    assert told["evidence"]["length"]["birge_ratio"] > 2
    assert told["evidence"]["left_out"] == ["wrong drawer"]
    assert [one["specimen"] for one in told["evidence"]["length"]["deviations"] if one["is_far"]] == [
        "wrong drawer"
    ]
    assert told["held"] == before["held"]
    done(writer.patch(wrong, WITHDRAWN, SCOPE))
    assert known(writer, "bush-odd", "bore")["held"] == before["held"]


def test_a_size_that_nobody_had_is_found_after_its_first_specimen(writer: Writer) -> None:
    """And is told to rest on a measurement, known as well as one reading of one specimen tells."""
    assert found(writer, "37.51mm") == []
    path = kept(writer, record("first", new_bush("37.51 mm"), size="bush-37.5", kind="bushing"))
    told = writer.read("/v1/sizes/bush-37.5")
    assert (told["kind"], told["provenance"]) == ("bushing", "measured")
    part = made_part(writer, "OM 3751", size="bush-37.5", provenance="measured")
    assert found(writer, "37.51mm") == ["OM 3751"]
    candidate = writer.read("/v1/matches/bushing", bore="37.51mm", condition="new")["candidates"][0]
    assert candidate["rests_on"] == "measured"
    bore = candidate["dimensions"][0]
    assert (bore["dimension"], bore["provenance"]) == ("bore", "measured")
    assert bore["knowledge_uncertainty_mm"] > 0.02  # a caliper on a bore: 0.0233 mm (JCGM 100, DIN 862)

    done(writer.patch(path, WITHDRAWN, SCOPE))
    assert writer.read("/v1/sizes/bush-37.5")["withdrawn_on"] == TODAY
    assert found(writer, "37.51mm") == []
    done(writer.patch(path, {"withdrawn_on": None}, SCOPE))
    assert writer.read("/v1/sizes/bush-37.5") == told
    assert found(writer, "37.51mm") == ["OM 3751"]
    of_part = kept(writer, record("second", {"bore": "37.53 mm"}, part=part.rsplit("/", 1)[1]))
    assert writer.read(of_part)["size"] == "bush-37.5"
    assert known(writer, "bush-37.5", "bore")["evidence"]["specimens"] == 2
    assert found(writer, "37.52mm") == ["OM 3751"]


def test_a_drawing_says_what_no_caliper_tells(writer: Writer) -> None:
    drawn = known(writer, "bush-12.5x16x12", "bore")
    assert drawn["held"]["provenance"] == "drawing"
    match = writer.read("/v1/matches/bushing", bore="12.51mm", condition="new")["candidates"][0]
    told = match["dimensions"][0]
    assert told["provenance"] in ("drawing", "catalogue", "measured")
    assert told["knowledge_uncertainty_mm"] is None


def test_one_specimen_counts_once_however_often_it_is_measured(writer: Writer) -> None:
    body = record("one and only", {"lead_length": "30.5 mm"}, size="brush-5x12.5x12.5-4-12v")
    first = kept(writer, body)
    assert first.rsplit("/", 1)[1] in refused(writer.post(RECORDS, body, SCOPE), 409)["detail"]
    kept(writer, {**body, "measured_on": "2026-11-26"})
    kept(writer, {**body, "readings": {"lead_length": "30.6 mm"}})
    evidence = known(writer, "brush-5x12.5x12.5-4-12v", "lead_length")["evidence"]
    assert (evidence["specimens"], evidence["readings"]) == (1, 3)
    assert evidence["length"]["between_specimens_mm"] is None


def test_records_are_read_in_pieces(writer: Writer) -> None:
    for place in range(5):
        kept(writer, record(f"piece {place}", {"length": "11.9 mm"}, size="bush-12.4x16x10"))
    whole = [one["id"] for one in writer.read(RECORDS, size="bush-12.4x16x10")["items"]]
    pieces: list[str] = []
    step: str | None = f"{RECORDS}?size=bush-12.4x16x10&limit=2"
    while step:
        piece = writer.client.get(step).json()
        pieces += [one["id"] for one in piece["items"]]
        step = piece["next"]
    assert pieces == whole
    assert len(whole) == 5


def test_who_may_write_and_what_is_only_validated(writer: Writer) -> None:
    body = record("guarded", {"length": "11.9 mm"}, size="bush-12.5x16x12")
    before = writer.read(RECORDS, size="bush-12.5x16x12")["total"]
    assert writer.post(RECORDS, body, None).status_code == 401
    assert writer.post(RECORDS, body, "prices").status_code == 403
    checked = writer.post(RECORDS, body, SCOPE, validate_only="true")
    assert done(checked, 200)["specimen"] == "guarded"
    made = record("only thought of", new_bush("38.51 mm"), size="bush-thought", kind="bushing")
    assert done(writer.post(RECORDS, made, SCOPE, validate_only="true"))["size"] == "bush-thought"
    assert writer.client.get("/v1/sizes/bush-thought").status_code == 404
    assert writer.read(RECORDS, size="bush-12.5x16x12")["total"] == before
    path = kept(writer, body)
    assert writer.client.patch(path, json=WITHDRAWN, headers=writer.signed(SCOPE)).status_code == 428
    assert writer.patch(path, WITHDRAWN, SCOPE, tag='"other"').status_code == 412
    fields = {**writer.signed(SCOPE), "Idempotency-Key": '"bench-1"'}
    twice = [
        writer.client.post(RECORDS, json={**body, "specimen": "sent twice"}, headers=fields) for _ in range(2)
    ]
    assert twice[0].status_code == twice[1].status_code == 201
    assert twice[0].json() == twice[1].json()
    assert writer.read(RECORDS, specimen="sent twice")["total"] == 1


def test_a_withdrawn_size_takes_no_new_record(writer: Writer) -> None:
    done(writer.post("/v1/sizes", size("bush-gone", "36.506..36.524 mm"), SCOPE), 201)
    done(writer.patch("/v1/sizes/bush-gone", WITHDRAWN, SCOPE))
    problem = refused(writer.post(RECORDS, record("a", {"bore": "36.5 mm"}, size="bush-gone"), SCOPE), 400)
    assert pointers(problem) == {"#/size": "withdrawn_size"}


@pytest.mark.parametrize("path", ["/v1/measurement-records/nothing", "/v1/sizes/bush-none/measured"])
def test_what_is_not_there_is_not_known(writer: Writer, path: str) -> None:
    assert refused(writer.client.get(path), 404)["type"].endswith("not-known")


def test_a_day_is_told_as_it_was_written(writer: Writer) -> None:
    path = kept(writer, record("dated", {"length": "11.9 mm"}, size="bush-12.5x16x12"))
    assert writer.read(path)["measured_on"] == DAY
