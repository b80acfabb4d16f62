"""Access keys made, listed and revoked by the holder of an admin key, and the log that tells of it."""

import re
from collections.abc import Iterator
from contextlib import closing

import httpx
import pytest
from commands import startwright
from databases import Place
from keyed_service import bearer, client_of, kept, new_key, once, supplier

from api.access.keys import read_key

KEYS, ENTRIES, SUPPLIERS = "/v1/access-keys", "/v1/audit-entries", "/v1/suppliers"
MEMBERS = {
    "id",
    "shown",
    "holder",
    "scopes",
    "state",
    "made_at",
    "expires_at",
    "revoked_at",
    "last_used_on",
}


@pytest.fixture(scope="module")
def admin(own_place: Place, address: str) -> Iterator[httpx.Client]:
    with client_of(address, new_key(own_place, "admin", holder="The keeper")[0]) as client:
        yield client


def make(admin: httpx.Client, holder: str, *scopes: str, **more: object) -> httpx.Response:
    return admin.post(KEYS, json={"holder": holder, "scopes": scopes, **more}, headers=once())


def test_a_key_is_made_shown_once_used_and_revoked(
    own_place: Place, address: str, admin: httpx.Client
) -> None:
    sent = {"json": {"holder": "Front counter", "scopes": ["prices"], "days": 30}, "headers": once()}
    made = admin.post(KEYS, **sent)  # type: ignore[arg-type]  # keywords of a request
    assert made.status_code == 201, made.text
    assert made.headers["cache-control"] == "no-store"
    text, name = made.json()["key"], made.json()["id"]
    assert made.headers["location"] == f"{KEYS}/{name}"
    assert read_key(text).shown == made.json()["shown"]
    assert set(made.json()) == MEMBERS | {"key"}
    again = admin.post(KEYS, **sent)  # type: ignore[arg-type]  # keywords of a request
    assert (again.status_code, again.json()) == (201, made.json() | {"key": None})
    secret = text.rsplit("_", 1)[1]
    assert secret not in str(kept(own_place))
    assert set(admin.get(made.headers["location"]).json()) == MEMBERS

    with client_of(address, text) as counter:
        assert counter.post(SUPPLIERS, json=supplier(), headers=once()).status_code == 201
        revoked = admin.post(f"{KEYS}/{name}/revocation")
        assert (revoked.status_code, revoked.json()["state"]) == (200, "revoked")
        assert counter.get(SUPPLIERS).status_code == 401
    again = admin.post(f"{KEYS}/{made.json()['shown']}/revocation")
    assert again.json() == revoked.json()
    listed = {one["id"]: one for one in pages(admin, KEYS)}
    assert listed[name] == revoked.json()
    assert secret not in admin.get(KEYS).text + admin.get(ENTRIES).text


def pages(client: httpx.Client, path: str) -> list[dict[str, object]]:
    """Return every item of a list, read in pieces of two."""
    found: list[dict[str, object]] = []
    following: str | None = f"{path}{'&' if '?' in path else '?'}limit=2"
    while following:
        piece = client.get(following).json()
        found += piece["items"]
        following = piece["next"]
    assert len(found) == piece["total"]
    return found


def test_one_key_is_replaced_by_another_while_both_are_live(admin: httpx.Client, address: str) -> None:
    old = make(admin, "Rotating", "prices").json()
    new = make(admin, "Rotating", "prices").json()
    third = make(admin, "Rotating", "prices")
    assert (third.status_code, third.json()["type"].rsplit("/", 1)[1]) == (409, "too-many-keys")
    for key in (old, new):
        assert httpx.get(address + SUPPLIERS, headers=bearer(key["key"])).status_code == 200
    assert admin.post(f"{KEYS}/{old['id']}/revocation").status_code == 200
    assert httpx.get(address + SUPPLIERS, headers=bearer(old["key"])).status_code == 401
    assert httpx.get(address + SUPPLIERS, headers=bearer(new["key"])).status_code == 200
    assert [one["id"] for one in pages(admin, f"{KEYS}?holder=Rotating")] == [old["id"], new["id"]]


def test_every_fault_of_a_key_is_named_at_once(own_place: Place, admin: httpx.Client) -> None:
    before = kept(own_place)
    answer = make(admin, " Counter", "price", "admin", "admin", days=731, note="x")
    assert answer.status_code == 400
    pointers = {fault["pointer"] for fault in answer.json()["errors"]}
    assert pointers == {"#/holder", "#/scopes/0", "#/scopes/2", "#/days", "#/note"}
    for body in ([], "x", {}, {"holder": 1, "scopes": "admin"}, {"holder": "x\0", "scopes": ["admin"]}):
        assert admin.post(KEYS, json=body, headers=once()).status_code == 400
    assert kept(own_place) == before


def test_a_key_that_is_only_validated_is_not_made(own_place: Place, admin: httpx.Client) -> None:
    before = kept(own_place)
    body = {"holder": "Nobody", "scopes": ["admin"]}
    answer = admin.post(KEYS, json=body, headers=once(), params={"validate_only": "true"})
    assert (answer.status_code, answer.json()["key"]) == (200, None)
    assert kept(own_place) == before


@pytest.mark.parametrize("name", ["nobody", "startwright_aaaaaaaa", "%00", "a%0Ab", "x" * 90])
def test_a_key_that_is_not_there(admin: httpx.Client, name: str) -> None:
    assert admin.get(f"{KEYS}/{name}").status_code == 404
    assert admin.post(f"{KEYS}/{name}/revocation").status_code == 404


def test_every_change_is_in_the_log(own_place: Place, admin: httpx.Client) -> None:
    body = supplier()
    path = f"{SUPPLIERS}/{body['code']}"
    made = admin.post(SUPPLIERS, json=body, headers={**once(), "X-Request-Id": "made-by-the-test"})
    tag = {"If-Match": made.headers["etag"]}
    admin.patch(path, json={"shipping": "5.00"}, headers=tag)
    admin.patch(path, json={"shipping": "9.00"}, headers=tag)  # too late: nothing to tell
    withdrawn = {"withdrawn_on": "2026-11-25"}
    admin.patch(path, json=withdrawn, headers={"If-Match": admin.get(path).headers["etag"]})
    restored = {"withdrawn_on": None}
    admin.patch(path, json=restored, headers={"If-Match": admin.get(path).headers["etag"]})
    entries = pages(admin, f"{ENTRIES}?noun=supplier&name={path}")
    assert [one["action"] for one in entries] == ["restore", "withdraw", "change", "create"]
    first, changed = entries[3], entries[2]
    assert first["request_id"] == "made-by-the-test"
    assert (first["holder"], first["address"], first["before"]) == ("The keeper", "127.0.0.1", None)
    assert changed["before"] == first["after"]
    assert isinstance(changed["before"], dict) and isinstance(changed["after"], dict)
    assert changed["after"] == {**changed["before"], "shipping": "5.00"}
    for one in entries:
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", str(one["at"]))
    assert pages(admin, f"{ENTRIES}?noun=offer") == []


def test_changes_of_keys_are_in_the_log_wherever_they_were_made(
    own_place: Place, admin: httpx.Client
) -> None:
    name = make(admin, "Told of", "prices").json()["id"]
    admin.post(f"{KEYS}/{name}/revocation")
    admin.post(f"{KEYS}/{name}/revocation")
    revoked, made = pages(admin, f"{ENTRIES}?name={KEYS}/{name}")
    assert (made["action"], revoked["action"]) == ("create", "revoke")
    assert made["holder"] == revoked["holder"] == "The keeper"
    assert isinstance(revoked["after"], dict) and revoked["after"]["revoked_at"] is not None

    here = own_place.environment
    text = startwright("make-key", "--holder", "By hand", "--scope", "prices", **here).stdout.strip()
    assert startwright("revoke-key", read_key(text).shown, **here).returncode == 0
    revoked, made = pages(admin, f"{ENTRIES}?noun=access%20key")[:2]
    for one in (made, revoked):
        assert (one["holder"], one["key_id"], one["address"]) == (None, None, "command line")
    assert isinstance(made["after"], dict) and made["after"]["holder"] == "By hand"
    with closing(own_place.open()) as database, database.read() as reads:
        digest = read_key(text).digest
        assert digest not in str(reads.connection.exec_driver_sql("SELECT * FROM audit_entry").all())


def test_a_cursor_of_other_filters_is_refused(admin: httpx.Client) -> None:
    make(admin, "One", "prices")
    following = admin.get(KEYS, params={"limit": 1}).json()["next"]
    assert admin.get(f"{following}&holder=One").status_code == 400
