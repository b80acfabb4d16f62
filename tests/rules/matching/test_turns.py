"""Threads that compute in turn."""

import threading
from collections.abc import Callable

import pytest

from api.matching.index.turns import Turns

SECONDS = 20
"""Longer than anything here takes: a wait that ends so has failed."""


def begin(work: Callable[[], None]) -> threading.Thread:
    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    return thread


def wait_until_waiting(turns: Turns, count: int) -> None:
    """Return once so many threads wait; what it reads is Turns' own."""
    pause = threading.Event()
    for _ in range(SECONDS * 1000):
        if len(turns._waiting) == count:
            return
        pause.wait(0.001)
    pytest.fail(f"{len(turns._waiting)} threads wait, not {count}")


def test_one_at_a_time_in_the_order_of_coming():
    turns, order, together, inside = Turns(), [], [], []

    def work(name: int) -> None:
        with turns:
            inside.append(name)
            together.append(len(inside))
            order.append(name)
            inside.remove(name)

    threads = []
    with turns:
        for name in range(20):
            threads.append(begin(lambda name=name: work(name)))
            wait_until_waiting(turns, name + 1)
        assert order == []
    for thread in threads:
        thread.join(SECONDS)
    assert order == list(range(20))
    assert set(together) == {1}


def test_one_that_comes_again_and_again_lets_others_through():
    """As a call with a thousand searches does: whoever waits has the next turn."""
    turns, done = Turns(), []

    def single() -> None:
        with turns:
            done.append("single")

    with turns:
        thread = begin(single)
        wait_until_waiting(turns, 1)
    with turns:
        done.append("again")
    thread.join(SECONDS)
    assert done == ["single", "again"]


def test_a_turn_ends_when_its_work_fails():
    turns = Turns()
    with pytest.raises(ValueError, match="failed"), turns:
        raise ValueError("failed")
    with turns:
        pass
