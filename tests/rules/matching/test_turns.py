"""Threads that compute in turn."""

import threading
from collections.abc import Callable

import pytest
from waited_for import wait_until

from api.matching.index.turns import Turns
from api.wire.refusals import NotReady

SECONDS = 20
"""Longer than anything here takes: a wait that ends so has failed."""


def begin(work: Callable[[], None]) -> threading.Thread:
    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    return thread


def finish(*threads: threading.Thread) -> None:
    for thread in threads:
        thread.join(SECONDS)
        assert not thread.is_alive()


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
            wait_until(lambda name=name: turns.waiting == name + 1)
        assert order == []
    finish(*threads)
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
        wait_until(lambda: turns.waiting == 1)
    with turns:
        done.append("again")
    finish(thread)
    assert done == ["single", "again"]


def test_a_turn_ends_when_its_work_fails():
    turns, done = Turns(), []

    def work() -> None:
        with turns:
            done.append("done")

    with pytest.raises(ValueError, match="failed"), turns:
        raise ValueError("failed")
    finish(begin(work))
    assert done == ["done"]


def test_nobody_waits_for_ever_and_those_behind_keep_their_turn():
    hurried, refused, done = Turns(longest_wait_seconds=0.05), [], []

    def work() -> None:
        try:
            with hurried:
                done.append("done")
        except NotReady as error:
            refused.append(error.explain())

    with hurried:
        finish(begin(work))
    assert refused == ["Not ready: searches wait for one that does not end."]
    assert hurried.waiting == 0
    finish(begin(work))
    assert done == ["done"]
