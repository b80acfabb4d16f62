"""Wait for what another thread is about to do."""

import threading
from collections.abc import Callable

import pytest

SECONDS = 20


def wait_until(holds: Callable[[], bool]) -> None:
    """Return once it holds; fail where it does not within `SECONDS`."""
    pause = threading.Event()
    for _ in range(SECONDS * 1000):
        if holds():
            return
        pause.wait(0.001)
    pytest.fail(f"it does not hold after {SECONDS} s")
