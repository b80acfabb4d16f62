"""What is only validated is answered as the real request is, and changes nothing.

The same problems, and the same body but for ids, numbers, times and where it stands; over any bodies of
suppliers, good and bad, on both databases, through a running server.
"""

import json
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from databases import Place
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from keyed_service import client_of, kept, new_key, once
from running_service import serving

SUPPLIERS = "/v1/suppliers"
CHECKED = {"validate_only": "true"}
FREE = ("id", "number", "made_at", "expires_at", "key", "shown")
"""Members that may differ: ids, numbers, times, and what is made at random."""

CODES = st.sampled_from(["ambleforth", "brindlemere", "Cawsand.9", "d", "e-1", "f_2"])
WORDS = st.one_of(
    st.sampled_from(
        ["Ambleforth Stores", "x", " padded ", "ünïcödé", "two\nlines", "", " ", "y" * 200, "y" * 201]
    ),
    st.text(max_size=30).filter(lambda text: "\0" not in text and text.isprintable()),
)
AMOUNTS = st.one_of(
    st.decimals(0, 10_000, places=2).map(str),
    st.sampled_from(["0", "4.5", "4.505", "-1.00", "", "a lot", "1e3", "999999999999999999999.00", "٣.50"]),
)
ODD = st.one_of(st.none(), st.booleans(), st.integers(-5, 5), st.just([]), st.just({}), st.text(max_size=3))
CURRENCIES = st.sampled_from(["USD", "EUR", "JPY", "KWD", "usd", "XYZ", "US", ""])
DAYS = st.sampled_from(["2026-11-25", "2026-02-29", "2026-13-01", "soon", "", None])
MEMBERS: dict[str, st.SearchStrategy[Any]] = {
    "code": st.one_of(CODES, st.sampled_from(["", "with space", "a/b", "x" * 64, "x" * 65, "é"])),
    "name": WORDS,
    "place": WORDS,
    "currency": CURRENCIES,
    "shipping": AMOUNTS,
    "free_shipping_from": AMOUNTS,
    "withdrawn_on": DAYS,
}
GOOD = st.fixed_dictionaries(
    {
        "code": CODES,
        "name": st.sampled_from(["Ambleforth Stores", "Brindle and Sons"]),
        "place": st.just("Cawsand"),
        "currency": st.sampled_from(["USD", "EUR"]),
        "shipping": st.decimals(0, 100, places=2).map(str),
    },
    optional={
        "free_shipping_from": st.decimals(0, 500, places=2).map(str),
        "withdrawn_on": st.just("2026-11-25"),
    },
)


@st.composite
def bodies(draw: st.DrawFn) -> Any:
    """Return a good body, or one of which up to three members were changed, taken away, or put to it."""
    body: dict[str, Any] = dict(draw(GOOD))
    for _ in range(draw(st.sampled_from([0, 0, 1, 1, 2, 3]))):
        name = draw(st.sampled_from([*MEMBERS, "nmae", "id"]))
        if draw(st.booleans()):
            body[name] = draw(st.one_of(MEMBERS.get(name, ODD), ODD))
        else:
            body.pop(name, None)
    return body


ANY_BODY = st.one_of(bodies(), bodies(), bodies(), st.one_of(ODD, st.lists(bodies(), max_size=1)))
PATCHES = st.one_of(
    st.dictionaries(
        st.sampled_from([*MEMBERS, "nmae"]),
        st.one_of(WORDS, AMOUNTS, CURRENCIES, DAYS, ODD),
        max_size=3,
    ),
    ODD,
)


@pytest.fixture(scope="module")
def admin(own_place: Place) -> Iterator[httpx.Client]:
    key, _ = new_key(own_place, "admin")
    with serving(own_place) as address, client_of(address, key) as client:
        yield client


SEEN: dict[str, int] = {}


def both(
    place: Place, client: httpx.Client, method: str, path: str, body: Any, headers: dict[str, str]
) -> httpx.Response:
    """Send a request to be validated and then in earnest; compare, and return the real answer."""
    sent: dict[str, Any] = {
        "content": json.dumps(body),
        "headers": {**headers, "Content-Type": "application/json"},
    }
    before = kept(place)
    checked = client.request(method, path, params=CHECKED, **sent)
    assert kept(place) == before
    real = client.request(method, path, **sent)
    SEEN[f"{method} {real.status_code}"] = SEEN.get(f"{method} {real.status_code}", 0) + 1
    if real.status_code >= 400:
        assert checked.status_code == real.status_code
        assert but(checked.json(), "instance") == but(real.json(), "instance")
        assert kept(place) == before
    else:
        assert checked.status_code == 200
        assert but(checked.json(), *FREE) == but(real.json(), *FREE)
        assert "location" not in checked.headers
        assert set(checked.json()) == set(real.json())
    return real


def but(body: dict[str, Any], *names: str) -> dict[str, Any]:
    """Return a body without some members."""
    return {name: value for name, value in body.items() if name not in names}


EACH = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@EACH
@given(body=ANY_BODY)
def test_a_create_is_validated_as_it_is_done(own_place: Place, admin: httpx.Client, body: Any) -> None:
    real = both(own_place, admin, "POST", SUPPLIERS, body, once())
    assert real.status_code in (201, 400, 409), real.text


@EACH
@given(code=CODES, body=ANY_BODY, how=st.sampled_from(["now", "now", "now", "before", "none"]))
def test_a_replacement_is_validated_as_it_is_done(
    own_place: Place, admin: httpx.Client, code: str, body: Any, how: str
) -> None:
    real = both(own_place, admin, "PUT", f"{SUPPLIERS}/{code}", body, condition(admin, code, how))
    assert real.status_code in (200, 400, 404, 412, 428), real.text


@EACH
@given(code=CODES, patch=PATCHES, how=st.sampled_from(["now", "now", "now", "before", "none"]))
def test_a_change_is_validated_as_it_is_done(
    own_place: Place, admin: httpx.Client, code: str, patch: Any, how: str
) -> None:
    real = both(own_place, admin, "PATCH", f"{SUPPLIERS}/{code}", patch, condition(admin, code, how))
    assert real.status_code in (200, 400, 404, 412, 428), real.text


def condition(client: httpx.Client, code: str, how: str) -> dict[str, str]:
    """Return the condition of a change: for the present state, for another one, or none."""
    if how == "none":
        return {}
    tag = client.get(f"{SUPPLIERS}/{code}").headers.get("etag", '"nothing"')
    return {"If-Match": tag if how == "now" else '"before"'}


@settings(EACH, max_examples=20)
@given(
    body=st.fixed_dictionaries(
        {"holder": WORDS, "scopes": st.lists(st.sampled_from(["prices", "admin", "price"]), max_size=3)},
        optional={"days": st.one_of(st.integers(-1, 800), ODD)},
    )
)
def test_a_key_is_validated_as_it_is_made_but_never_shown(
    own_place: Place, admin: httpx.Client, body: Any
) -> None:
    real = both(own_place, admin, "POST", "/v1/access-keys", body, once())
    assert real.status_code in (201, 400, 409), real.text
    answer = admin.post("/v1/access-keys", params=CHECKED, json=body, headers=once())
    assert answer.json().get("key") is None


def test_the_examples_met_every_kind_of_answer() -> None:
    """Else the comparison above would have compared refusals with refusals."""
    if SEEN:  # run by itself it has seen none
        met = {kind for kind, times in SEEN.items() if times >= 2}
        assert met >= {"POST 201", "POST 400", "POST 409", "PUT 200", "PUT 400", "PATCH 200", "PATCH 400"}, (
            SEEN
        )
