"""A create is done once for each idempotency key, whatever is sent again, at once, or to another worker.

Source: draft-ietf-httpapi-idempotency-key-header-07 (the field, 2.1; replay, 409, 422 and 400, 2.6 and 2.7).
"""

from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, ThreadPoolExecutor, wait
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta

import httpx
import pytest
from commands import started
from databases import Place
from keyed_service import bearer, client_of, kept, new_key, once, supplier
from litestar import Litestar
from running_service import serving

from api.access.exactly_once import ExactlyOnce
from api.wear_parts.catalogue_version import lock_version

SUPPLIERS = "/v1/suppliers"


@pytest.fixture(scope="module")
def writer(own_place: Place, address: str) -> Iterator[httpx.Client]:
    with client_of(address, new_key(own_place, "prices")[0]) as client:
        yield client


def word(answer: httpx.Response) -> str:
    """Return the last word of a problem's type."""
    return str(answer.json()["type"]).rsplit("/", 1)[1]


def told(answer: httpx.Response) -> tuple[int, bytes, dict[str, str]]:
    """Return all of an answer that may be stored: status, body, and the fields that say what was done."""
    names = ("location", "etag", "content-type", "cache-control")
    return (
        answer.status_code,
        answer.content,
        {name: answer.headers[name] for name in names if name in answer.headers},
    )


@contextmanager
def writers_held_up(place: Place) -> Iterator[None]:
    """Hold, on a connection of its own, the lock that every writer of the catalogue waits for."""
    with closing(place.open()) as database, database.write() as writes:
        lock_version(writes)
        yield


def test_a_repeated_create_is_answered_as_the_first_was_and_done_once(
    own_place: Place, writer: httpx.Client
) -> None:
    body, key = supplier(), once()
    first = writer.post(SUPPLIERS, json=body, headers=key)
    assert first.status_code == 201, first.text
    assert first.headers["location"] == f"{SUPPLIERS}/{body['code']}"
    assert first.headers["etag"] == writer.get(first.headers["location"]).headers["etag"]
    before = kept(own_place)
    for _ in range(3):
        assert told(writer.post(SUPPLIERS, json=body, headers=key)) == told(first)
    assert kept(own_place) == before
    assert (
        first.headers["x-request-id"]
        != writer.post(SUPPLIERS, json=body, headers=key).headers["x-request-id"]
    )


def test_a_change_with_a_key_is_replayed_too_though_its_condition_no_longer_holds(
    writer: httpx.Client,
) -> None:
    made = writer.post(SUPPLIERS, json=supplier(), headers=once())
    change = {"headers": {**once(), "If-Match": made.headers["etag"]}, "json": {"name": "Quenby alone"}}
    first = writer.patch(made.headers["location"], **change)
    assert first.status_code == 200
    assert told(writer.patch(made.headers["location"], **change)) == told(first)


def test_a_key_that_comes_with_another_request_is_refused(own_place: Place, writer: httpx.Client) -> None:
    body, key = supplier(), once()
    made = writer.post(SUPPLIERS, json=body, headers=key)
    before = kept(own_place)
    others = [
        writer.post(SUPPLIERS, json={**body, "name": "Another"}, headers=key),
        writer.post(SUPPLIERS, json=supplier(), headers=key),
        writer.post(SUPPLIERS, content=made.request.content + b" ", headers={**key, **JSON}),
        writer.patch(made.headers["location"], json=body, headers={**key, "If-Match": made.headers["etag"]}),
    ]
    for answer in others:
        assert (answer.status_code, word(answer)) == (422, "idempotency-key-reused"), answer.text
    assert kept(own_place) == before


JSON = {"Content-Type": "application/json"}


def test_two_holders_may_choose_the_same_key(own_place: Place, address: str, writer: httpx.Client) -> None:
    key = once()
    assert writer.post(SUPPLIERS, json=supplier(), headers=key).status_code == 201
    with client_of(address, new_key(own_place, "prices")[0]) as other:
        assert other.post(SUPPLIERS, json=supplier(), headers=key).status_code == 201


def test_a_refused_create_leaves_its_key_free(own_place: Place, writer: httpx.Client) -> None:
    body, key = supplier(), once()
    before = kept(own_place)
    refused = writer.post(SUPPLIERS, json={**body, "shipping": "a lot"}, headers=key)
    assert (refused.status_code, word(refused)) == (400, "invalid-input")
    assert kept(own_place) == before
    assert writer.post(SUPPLIERS, json=body, headers=key).status_code == 201


def test_the_key_of_another_request_is_told_when_it_is_only_checked(
    own_place: Place, writer: httpx.Client
) -> None:
    body, key = supplier(), once()
    first = writer.post(SUPPLIERS, json=body, headers=key)
    before = kept(own_place)
    checked = {"params": {"validate_only": "true"}, "headers": key}
    again = writer.post(SUPPLIERS, json=body, **checked)
    assert (again.status_code, again.content) == (200, first.content)
    assert word(writer.post(SUPPLIERS, json=supplier(), **checked)) == "idempotency-key-reused"
    assert kept(own_place) == before


def test_a_second_one_is_told_while_the_first_is_being_worked_on(
    own_place: Place, writer: httpx.Client
) -> None:
    """The first waits for a lock that another connection holds; which of the two is first does not matter."""
    body, key = supplier(), once()
    with ThreadPoolExecutor(2) as pool:
        with writers_held_up(own_place):
            both = [pool.submit(writer.post, SUPPLIERS, json=body, headers=key) for _ in range(2)]
            at_once, waiting = wait(both, timeout=20, return_when=FIRST_COMPLETED)
            (told_so,) = (one.result() for one in at_once)
            assert (told_so.status_code, word(told_so)) == (409, "still-working"), told_so.text
            (other,) = waiting
            assert not other.done()
        assert other.result().status_code == 201
    assert told(writer.post(SUPPLIERS, json=body, headers=key)) == told(other.result())


def test_another_worker_knows_what_is_being_worked_on(own_place: Place, writer: httpx.Client) -> None:
    """A second server, in a process of its own, on the same database."""
    body = supplier()
    headers = {**once(), "Authorization": writer.headers["authorization"]}
    with started(STARTWRIGHT_LOG_LEVEL="error", **own_place.environment) as server:
        there = server.wait_for_address().rstrip("/") + SUPPLIERS
        with ThreadPoolExecutor(2) as pool:
            with writers_held_up(own_place):
                both = [
                    pool.submit(httpx.post, place, json=body, headers=headers, timeout=60)
                    for place in (there, str(writer.base_url).rstrip("/") + SUPPLIERS)
                ]
                at_once, _ = wait(both, timeout=20, return_when=FIRST_COMPLETED)
                (told_so,) = (one.result() for one in at_once)
                assert (told_so.status_code, word(told_so)) == (409, "still-working"), told_so.text
            assert sorted(one.result().status_code for one in both) == [201, 409]
    assert sum(body["code"] in row for row in kept(own_place)["supplier"]) == 1


@pytest.mark.parametrize(
    "sent",
    [
        "8e03978e-40d5-43e8-bc93-6894a57f9324",
        "",
        '""',
        "''",
        '"never ended',
        'ended never"',
        '"two" "of them"',
        '"two", "in a list"',
        '"with";a=parameter',
        "7",
        "?1",
        ":aGVsbG8=:",
        "token",
        '"' + "k" * 256 + '"',
        '"wrong \\escape"',
        b'"\xc3\xa9"',
    ],
)
def test_a_field_that_is_not_one_quoted_text_is_refused(
    own_place: Place, writer: httpx.Client, sent: str | bytes
) -> None:
    before = kept(own_place)
    answer = writer.post(SUPPLIERS, json=supplier(), headers={"Idempotency-Key": sent})  # type: ignore[dict-item]  # bytes too
    assert (answer.status_code, word(answer)) == (400, "header-refused"), answer.text
    assert "Idempotency-Key" in answer.json()["detail"] and "quoted" in answer.json()["detail"]
    assert kept(own_place) == before


def test_two_lines_of_the_field_are_refused(writer: httpx.Client) -> None:
    """Lines of one name are one list (RFC 9110 5.3), and a list is not one text (RFC 8941 3.3.3)."""
    lines = [("Idempotency-Key", '"one"'), ("Idempotency-Key", '"other"'), *writer.headers.items()]
    assert word(writer.post(SUPPLIERS, json=supplier(), headers=lines)) == "header-refused"


def test_a_create_without_a_key_is_refused(own_place: Place, writer: httpx.Client) -> None:
    before = kept(own_place)
    for query in ({}, {"validate_only": "true"}):
        answer = writer.post(SUPPLIERS, json=supplier(), params=query)
        assert (answer.status_code, word(answer)) == (400, "idempotency-key-missing")
    assert kept(own_place) == before


@pytest.mark.parametrize("key", ["k", "k" * 255, 'with \\" and \\\\', "a b"])
def test_every_quoted_text_that_is_not_too_long_is_a_key(writer: httpx.Client, key: str) -> None:
    body = supplier()
    answers = [writer.post(SUPPLIERS, json=body, headers=once(key)) for _ in range(2)]
    assert [one.status_code for one in answers] == [201, 201]


def test_an_answer_is_kept_for_a_day_and_then_forgotten(place: Place) -> None:
    """24 hours is what the service promises; the draft (2.3) leaves the time to it."""
    begin = datetime(2026, 11, 25, 12, tzinfo=UTC)
    clock = [begin]

    def with_clock(app: Litestar) -> None:
        usual: ExactlyOnce = app.state.writer
        app.state.writer = ExactlyOnce(usual._database, usual._in_flight, lambda: clock[0])

    with serving(place, with_clock) as served, client_of(served, new_key(place, "prices")[0]) as client:
        body, key = supplier(), once()
        first = client.post(SUPPLIERS, json=body, headers=key)
        clock[0] = begin + timedelta(hours=24, seconds=-1)
        assert told(client.post(SUPPLIERS, json=body, headers=key)) == told(first)
        assert len(kept(place)["answered_request"]) == 1
        clock[0] = begin + timedelta(hours=24)
        anew = client.post(SUPPLIERS, json=body, headers=key)
        assert (anew.status_code, word(anew)) == (409, "already-known")
        clock[0] = begin + timedelta(hours=24)
        assert client.post(SUPPLIERS, json=supplier(), headers=key).status_code == 201
        (row,) = kept(place)["answered_request"]
        assert "2026-11-26T12:00:00Z" in row


def test_access_is_judged_before_the_key_is(address: str, writer: httpx.Client) -> None:
    body, key = supplier(), once()
    assert writer.post(SUPPLIERS, json=body, headers=key).status_code == 201
    for headers in ({}, bearer("startwright_nonsense")):
        assert httpx.post(address + SUPPLIERS, json=body, headers={**key, **headers}).status_code == 401
