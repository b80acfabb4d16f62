"""Several people search at once: each in his turn, and whoever asks for something else does not wait."""

from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest
from databases import BACKENDS, new_place
from litestar import Litestar
from running_service import serving
from waited_for import wait_until

ONE = "/v1/matches/bushing?bore=12.62mm&length=11.9mm&limit=1"
SEARCH = {"kind": "bushing", "readings": {"bore": "12.62 mm", "length": "11.9 mm"}, "limit": 1}
MANY = 400


@pytest.mark.parametrize("backend", BACKENDS)
def test_searches_wait_for_their_turn_and_nothing_else_does(backend: str) -> None:
    served: list[Litestar] = []
    with (
        new_place(backend, "seeded") as place,
        serving(place, served.append) as address,
        httpx.Client(base_url=address, timeout=60) as client,
        ThreadPoolExecutor(2) as asking,
    ):
        turns = served[0].state.index.turns
        with turns:
            single = asking.submit(client.get, ONE)
            wait_until(lambda: turns.waiting == 1)
            several = asking.submit(client.post, "/v1/matches", json={"searches": [SEARCH] * 3})
            wait_until(lambda: turns.waiting == 2)
            assert client.get("/v1/kinds").status_code == 200
            assert not (single.done() or several.done())
        assert single.result().status_code == 200
        assert [one["status"] for one in several.result().json()["results"]] == [200] * 3


def test_a_call_with_many_searches_keeps_nobody_waiting(service: httpx.Client) -> None:
    """A clerk's searches are answered one after the other while shop software asks for hundreds in one call.

    In turn, one of his is answered for every three or four of the call; were the turn not handed on to
    whoever has waited longest, one for sixteen or more.
    """
    with httpx.Client(base_url=service.base_url, timeout=120) as software, ThreadPoolExecutor(1) as asking:
        call = asking.submit(software.post, "/v1/matches", json={"searches": [SEARCH] * MANY})
        answered = 0
        while not call.done():
            assert service.get(ONE).status_code == 200
            answered += 1
    assert [one["status"] for one in call.result().json()["results"]] == [200] * MANY
    assert answered > MANY / 10
