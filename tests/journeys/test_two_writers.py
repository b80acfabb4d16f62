"""Two who change the same thing: nobody's change is lost, and who comes late is told so.

Sources: RFC 9110 sections 8.8.3, 13.1 and 13.2.2 (conditions and their order), RFC 6585 section 3 (428).
"""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import httpx
import pytest
from databases import Place
from keyed_service import client_of, kept, new_key, once, supplier
from running_service import serving

SUPPLIERS = "/v1/suppliers"


@pytest.fixture(scope="module")
def writer(own_place: Place) -> Iterator[httpx.Client]:
    key, _ = new_key(own_place, "prices")
    with serving(own_place) as address, client_of(address, key) as client:
        yield client


@pytest.fixture
def made(writer: httpx.Client) -> httpx.Response:
    """The answer to a create: where it stands, its tag, its body."""
    answer = writer.post(SUPPLIERS, json=supplier(), headers=once())
    assert answer.status_code == 201, answer.text
    return answer


def word(answer: httpx.Response) -> str:
    """Return the last word of a problem's type."""
    return str(answer.json()["type"]).rsplit("/", 1)[1]


def entry(made: httpx.Response) -> dict[str, Any]:
    """Return the body that made it."""
    return supplier(made.json()["code"])


def weak(tag: str) -> str:
    return f"W/{tag}"


def test_the_tag_of_a_write_is_that_of_reading_it(writer: httpx.Client, made: httpx.Response) -> None:
    path = made.headers["location"]
    assert writer.get(path).headers["etag"] == made.headers["etag"]
    changed = writer.put(path, json=entry(made) | {"name": "New"}, headers={"If-Match": made.headers["etag"]})
    assert changed.status_code == 200
    assert changed.headers["etag"] == writer.get(path).headers["etag"] != made.headers["etag"]
    assert changed.json() == writer.get(path).json()


TAKEN: list[Callable[[str], str]] = [
    lambda tag: tag,
    lambda tag: "*",
    lambda tag: f'"older", {tag}',
    lambda tag: f', {tag} ,, W/"older"',
]
NOT_TAKEN: list[Callable[[str], str]] = [weak, lambda tag: '"older"', lambda tag: f'{weak(tag)}, "older"']


@pytest.mark.parametrize("method", ["PUT", "PATCH"])
@pytest.mark.parametrize("sent", TAKEN, ids=["strong", "any", "list", "list with gaps"])
def test_a_change_for_the_present_state_is_done(
    writer: httpx.Client, made: httpx.Response, method: str, sent: Callable[[str], str]
) -> None:
    body = entry(made) | {"name": "Changed"} if method == "PUT" else {"name": "Changed"}
    answer = writer.request(
        method, made.headers["location"], json=body, headers={"If-Match": sent(made.headers["etag"])}
    )
    assert (answer.status_code, answer.json()["name"]) == (200, "Changed")


@pytest.mark.parametrize("method", ["PUT", "PATCH"])
@pytest.mark.parametrize("sent", NOT_TAKEN, ids=["weak", "older", "weak in a list"])
def test_a_change_for_another_state_is_not_done(
    own_place: Place, writer: httpx.Client, made: httpx.Response, method: str, sent: Callable[[str], str]
) -> None:
    before = kept(own_place)
    headers = {"If-Match": sent(made.headers["etag"])}
    answer = writer.request(method, made.headers["location"], json=entry(made), headers=headers)
    assert (answer.status_code, word(answer)) == (412, "precondition-failed")
    assert "If-Match" in answer.json()["detail"] and made.headers["etag"] in answer.json()["detail"]
    assert kept(own_place) == before


@pytest.mark.parametrize("method", ["PUT", "PATCH"])
def test_a_change_that_names_no_state_is_told_to(
    own_place: Place, writer: httpx.Client, made: httpx.Response, method: str
) -> None:
    before = kept(own_place)
    for headers in ({}, {"If-None-Match": '"older"'}):
        answer = writer.request(method, made.headers["location"], json=entry(made), headers=headers)
        assert (answer.status_code, word(answer)) == (428, "precondition-required")
    assert kept(own_place) == before


def test_conditions_are_judged_in_the_standards_order(writer: httpx.Client, made: httpx.Response) -> None:
    """RFC 9110 13.2.2: If-Match first, then If-None-Match; what is not there is 404 before both (13.2.1)."""
    path, tag = made.headers["location"], made.headers["etag"]

    def change(**headers: str) -> httpx.Response:
        names = {name.replace("_", "-"): value for name, value in headers.items()}
        return writer.patch(path, json={"name": "Changed"}, headers=names)

    for refused, named in (
        (change(If_Match='"older"', If_None_Match=tag), "If-Match"),
        (change(If_Match=tag, If_None_Match=tag), "If-None-Match"),
        (change(If_Match=tag, If_None_Match=weak(tag)), "If-None-Match"),
        (change(If_Match="*", If_None_Match="*"), "If-None-Match"),
        (change(If_None_Match=tag), "If-None-Match"),
    ):
        assert refused.status_code == 412
        assert f"condition {named} " in refused.json()["detail"]
    assert writer.patch(f"{SUPPLIERS}/nobody", json={}, headers={"If-Match": "*"}).status_code == 404
    assert writer.patch(path, json={"name": 7}, headers={"If-Match": '"older"'}).status_code == 400  # 13.2.1
    assert httpx.patch(str(writer.base_url).rstrip("/") + path, json={}).status_code == 401
    assert change(If_Match=tag, If_None_Match='"older"').status_code == 200


@pytest.mark.parametrize("sent", ["unquoted", '"never ended', '"a" "b"', "", '"a", *'])
def test_a_field_that_is_no_list_of_tags_is_refused(
    own_place: Place, writer: httpx.Client, made: httpx.Response, sent: str
) -> None:
    before = kept(own_place)
    path = made.headers["location"]
    for answer in (
        writer.patch(path, json={"name": "Changed"}, headers={"If-Match": sent}),
        writer.get(path, headers={"If-Match": sent}),
        writer.get(path, headers={"If-None-Match": sent}),
    ):
        assert (answer.status_code, word(answer)) == (400, "header-refused")
    assert kept(own_place) == before


def test_lines_of_one_field_are_one_list(writer: httpx.Client, made: httpx.Response) -> None:
    """RFC 9110 section 5.3."""
    path, tag = made.headers["location"], made.headers["etag"]
    for lines in (['"older"', tag], [tag, '"older"']):
        both = [*writer.headers.items(), *(("If-None-Match", line) for line in lines)]
        assert writer.get(path, headers=both).status_code == 304
        both = [*writer.headers.items(), *(("If-Match", line) for line in lines)]
        assert writer.patch(path, json={"name": made.json()["name"]}, headers=both).status_code == 200


@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_a_reader_who_has_it_is_told_so(writer: httpx.Client, made: httpx.Response, method: str) -> None:
    """304 carries the tag and no body (RFC 9110 15.4.5); If-None-Match compares weakly (13.1.2)."""
    path, tag = made.headers["location"], made.headers["etag"]

    def read(**headers: str) -> httpx.Response:
        names = {name.replace("_", "-"): value for name, value in headers.items()}
        return writer.request(method, path, headers=names)

    for had in (tag, weak(tag), f'"older", {tag}', "*"):
        answer = read(If_None_Match=had)
        assert (answer.status_code, answer.content, answer.headers["etag"]) == (304, b"", tag)
        assert read(If_None_Match=had, If_Match=tag).status_code == 304
        assert read(If_None_Match=had, If_Match='"older"').status_code == 412
    assert read(If_None_Match='"older"').status_code == read(If_Match=tag).status_code == 200
    assert read(If_Match=weak(tag)).status_code == read(If_Match='"older"').status_code == 412


def test_the_second_of_two_who_read_the_same_state_is_told(
    writer: httpx.Client, made: httpx.Response
) -> None:
    path, tag = made.headers["location"], {"If-Match": made.headers["etag"]}
    first = writer.patch(path, json={"shipping": "5.00"}, headers=tag)
    second = writer.patch(path, json={"name": "Second"}, headers=tag)
    assert (first.status_code, second.status_code) == (200, 412)
    merged = writer.patch(path, json={"name": "Second"}, headers={"If-Match": first.headers["etag"]})
    assert (merged.json()["name"], merged.json()["shipping"]["amount"]) == ("Second", "5.00")


THREADS, CHANGES = 8, 25


def test_of_200_changes_at_once_none_is_lost(
    place: Place, record_property: Callable[[str, object], None]
) -> None:
    """Eight threads, two servers, one supplier: each reads, adds a cent, tries anew when told 412."""
    key, _ = new_key(place, "prices")
    body = supplier(shipping="0.00")
    path = f"{SUPPLIERS}/{body['code']}"
    with serving(place) as one, serving(place) as other:
        with client_of(one, key) as client:
            assert client.post(SUPPLIERS, json=body, headers=once()).status_code == 201

        def add_cents(number: int) -> int:
            """Add a cent `CHANGES` times; return how often that was too late."""
            late = 0
            with client_of((one, other)[number % 2], key) as client:
                for _ in range(CHANGES):
                    while not added_a_cent(client, path):
                        late += 1
            return late

        with ThreadPoolExecutor(THREADS) as pool:
            late = sum(pool.map(add_cents, range(THREADS)))
        with client_of(other, key) as client:
            total = client.get(path).json()["shipping"]["amount"]
    assert total == "2.00"
    entries = [row for row in kept(place)["audit_entry"] if "change" in row]
    assert len(entries) == THREADS * CHANGES == 200
    assert kept(place)["catalogue_state"][0][1] == 1 + THREADS * CHANGES
    backend = "postgresql" if place.url else "sqlite"
    record_property("tries", THREADS * CHANGES + late)
    print(f"{backend}: 200 changes kept of {THREADS * CHANGES + late} tries, {late} told 412; sum {total}")  # noqa: T201  # a figure of the run


def added_a_cent(client: httpx.Client, path: str) -> bool:
    """Read the supplier, add a cent to its shipping; tell whether it was still in the state that was read."""
    read = client.get(path)
    cents = round(float(read.json()["shipping"]["amount"]) * 100) + 1
    amount = f"{cents // 100}.{cents % 100:02d}"
    answer = client.patch(path, json={"shipping": amount}, headers={"If-Match": read.headers["etag"]})
    assert answer.status_code in (200, 412), answer.text
    return answer.status_code == 200
