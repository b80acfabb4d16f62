"""Bad input to searches: a clear error that names the field, the value and what was expected."""

import httpx
import pytest

PROBLEM = "application/problem+json"


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("12.62", "no_unit"),
        ("-1 mm", "negative"),
        ("0 mm", "zero"),
        ("NaN", "not_finite"),
        ("1e400 mm", "exponent"),
        ("9" * 10_000 + " mm", "too_long"),
        ("1/0 in", "zero_denominator"),
        ("1 in 2 mm", "two_units"),
        ("500 mm", "implausible"),
        ("", None),
        ("\0", "nul"),
        ("12.62 furlongs", None),
        ("1,234.5 mm", "ambiguous_number"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(service: httpx.Client, value: str, code: str | None) -> None:
    answer = service.get("/v1/matches/bushing", params={"bore": value})
    assert answer.status_code == 400
    assert answer.headers["content-type"] == PROBLEM
    fault = answer.json()["errors"][0]
    assert fault["parameter"] == "bore"
    assert fault["expected"]
    if code is not None:
        assert fault["code"] == code


def test_all_faults_are_named_at_once_with_the_nearest_name(service: httpx.Client) -> None:
    query = {"boree": "12 mm", "length": "x", "limit": "0", "instrument": "calliper", "condition": "used"}
    answer = service.get("/v1/matches/bushing", params=query)
    faults = {one["parameter"]: one for one in answer.json()["errors"]}
    assert set(faults) == set(query)
    assert faults["boree"]["nearest"] == "bore"


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/v1/matches/bushin?bore=12mm", 404),
        ("/v1/matches/bushing", 400),
        ("/v1/matches/bushing?bore=12mm&bore=13mm", 400),
        ("/v1/matches/bushing?bore=%ff", 400),
        ("/v1/matches/drive_clutch?teeth=99999999999999999999999", 400),
        ("/v1/matches/drive_clutch?rotation=clokwise", 400),
        ("/v1/matches/%00?bore=12mm", 404),
        ("/v1/kinds/" + "9" * 23, 404),
        ("/v1/kinds?limit=5", 400),
        ("/v1/nothing", 404),
    ],
)
def test_a_path_or_query_that_means_nothing_is_refused(service: httpx.Client, path: str, status: int) -> None:
    answer = service.get(path)
    assert answer.status_code == status
    assert answer.headers["content-type"] == PROBLEM
    assert answer.json()["status"] == status


@pytest.mark.parametrize(
    ("body", "content_type", "status"),
    [
        (b"[" * 1_000_000, "application/json", 400),
        (b'{"searches": [' + b"[" * 200_000, "application/json", 400),
        (b'{"searches": [], "searches": []}', "application/json", 400),
        (b'{"searches": NaN}', "application/json", 400),
        (b'{"searches": [{"kind": "bushing", "readings": {"bore": "\\u0000"}}]}', "application/json", 400),
        (b"{}", "text/plain", 415),
        (b"{}", "", 415),
        (b" " * 3_000_000, "application/json", 413),
        (b'{"searches": []}', "application/json", 400),
        (b"", "application/json", 400),
        (b"null", "application/json", 400),
    ],
)
def test_a_body_that_cannot_be_read_is_refused(
    service: httpx.Client, body: bytes, content_type: str, status: int
) -> None:
    answer = service.post("/v1/matches", content=body, headers={"content-type": content_type})
    assert answer.status_code == status
    assert answer.headers["content-type"] == PROBLEM
    assert "Traceback" not in answer.text


def test_more_searches_than_a_call_takes_are_refused(service: httpx.Client) -> None:
    one = {"kind": "bushing", "readings": {"bore": "12.62 mm"}, "limit": 1}
    answer = service.post("/v1/matches", json={"searches": [one] * 1001})
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["pointer"] == "#/searches"


def test_repeats_that_disagree_are_reported_not_refused(service: httpx.Client) -> None:
    reading = {"text": "16.00 mm", "repeats": ["16.60 mm"], "surface": "unworn"}
    search = {"kind": "bushing", "readings": {"outside_diameter": reading, "length": "12 mm"}}
    match = service.post("/v1/matches", json={"searches": [search]}).json()["results"][0]["match"]
    assert match["readings"]["outside_diameter"]["repeats_disagree"] is True


def test_a_bore_measured_in_its_housing_is_not_compared(service: httpx.Client) -> None:
    search = {"kind": "bushing", "readings": {"bore": {"text": "12.62 mm", "state": "installed"}}}
    result = service.post("/v1/matches", json={"searches": [search]}).json()["results"][0]
    assert result["problem"]["errors"][0]["code"] == "closed_in"


@pytest.mark.parametrize("host", ["127.0.0.1:abc", "127.0.0.1 evil", "evil.test", "localhost:1:2"])
def test_a_foreign_or_broken_host_is_refused_on_every_path(service: httpx.Client, host: str) -> None:
    for path in ("/health/live", "/nope", "/v1/kinds"):
        answer = service.get(path, headers={"host": host})
        assert answer.status_code == 400
        assert answer.json()["type"].endswith("host-not-served")


@pytest.mark.parametrize("cursor", ["NQ", "bnVsbA", "W10", "WyIiLCAiXHVkODAwIl0", "%%%"])
def test_a_cursor_that_is_none_of_ours_is_refused(service: httpx.Client, cursor: str) -> None:
    assert service.get("/v1/parts", params={"cursor": cursor}).status_code == 400


def test_a_cursor_of_another_list_is_refused(service: httpx.Client) -> None:
    following = service.get("/v1/parts", params={"limit": "3"}).json()["next"]
    assert service.get(following).status_code == 200
    assert service.get(following.replace("/v1/parts", "/v1/families")).status_code == 400


def test_thousands_of_faults_are_answered_at_once_and_capped(service: httpx.Client) -> None:
    body = {"currency": "USD", "family": "D12-01", "positions": [], **{f"x{n}": 1 for n in range(5_000)}}
    assert len(service.post("/v1/comparisons", json=body).json()["errors"]) == 100
    twice = '{"searches": [], ' + ", ".join(f'"m{n}": 1' for n in range(20_000)) + ', "m1": 2}'
    answer = service.post("/v1/matches", content=twice, headers={"content-type": "application/json"})
    assert "'m1' stands twice" in answer.json()["detail"]


def test_a_fault_within_a_family_comparison_is_located(service: httpx.Client) -> None:
    body = {"currency": "USD", "family": "D12-01", "positions": [{"position": "brush_set", "failed": "true"}]}
    faults = service.post("/v1/comparisons", json=body).json()["errors"]
    assert [one["pointer"] for one in faults] == ["#/positions/0/failed"]
