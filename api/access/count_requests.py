"""Count the requests of a key or an address against a policy, together with all workers of the host.

What cannot be counted is taken. The counts keep the service from being flooded; they do not guard a key
(256 random bits are not guessed at any rate), and a worker that turned everybody away because a file
cannot be written would do itself what the counts are there to prevent. It is logged, and tried again
after a second.
"""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

import structlog
from limits import RateLimitItem, RateLimitItemPerSecond
from limits.strategies import FixedWindowRateLimiter

from api.access.rate_limits import Policy, Tally
from api.access.shared_counts import SharedCounts, counts_folder, remove_earlier_counts
from api.access.shared_file import FileNotUsable

PAUSE_SECONDS: Final = 1.0
"""How long nothing is counted after the counts could not be used."""

_log = structlog.get_logger("startwright.access")


class RequestCounts:
    """The counts of one host; each worker opens its own on the same data folder. Safe for threads."""

    def __init__(self, data: Path, now: Callable[[], float] = time.time) -> None:
        """Name the data folder; `now` gives seconds since 1970. The first request opens the counts."""
        folder = counts_folder(data)
        remove_earlier_counts(folder)
        self._now = now
        self._storage = SharedCounts(folder, now)
        self._windows = FixedWindowRateLimiter(self._storage)
        self._items: dict[Policy, RateLimitItem] = {}
        self._paused_until = 0.0

    def count(self, policy: Policy, whom: str) -> Tally:
        """Count a request of `whom` (a key's id, a counted address) and tell whether the policy takes it.

        A request that is refused counts as well, but does not put off the end of the window.
        """
        return self._tally(policy, whom, self._windows.hit)

    def peek(self, policy: Policy, whom: str) -> Tally:
        """Tell whether the policy would take one more request of `whom`, and count nothing."""
        return self._tally(policy, whom, self._windows.test)

    def close(self) -> None:
        """Give the file of the counts back."""
        self._storage.close()

    def _tally(self, policy: Policy, whom: str, ask: Callable[[RateLimitItem, str, str], bool]) -> Tally:
        if time.monotonic() < self._paused_until:
            return Tally.uncounted(policy)
        item = self._items.get(policy)
        if item is None:
            item = self._items[policy] = RateLimitItemPerSecond(policy.quota, policy.window_seconds)
        try:
            allowed = ask(item, policy.name, whom)
            closes_at, remaining = self._windows.get_window_stats(item, policy.name, whom)
        except FileNotUsable as error:
            self._paused_until = time.monotonic() + PAUSE_SECONDS
            _log.warning("requests are not counted", reason=str(error))
            return Tally.uncounted(policy)
        return Tally.of(policy, allowed, remaining, closes_at - self._now())
