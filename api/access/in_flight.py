"""Which idempotency keys are being worked on: held by locks that die with whoever held them."""

import fcntl
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy import text

from api.database import WriteSession
from api.errors import DomainError

FILE: Final = "requests-in-flight.lock"
_PLACES: Final = 2**40
"""Bytes that are locked, one for each key; the file itself stays empty (POSIX locks may lie past its end)."""


class InFlight:
    """The keys that this worker, and others beside it, are working on. Safe for threads.

    Threads of one process know of each other by a set; processes on one embedded database by a lock on one
    byte of a file beside it; on PostgreSQL, whatever the host, by an advisory lock of the transaction.
    """

    def __init__(self, folder: Path | None) -> None:
        """Lock in this folder, or (None) leave other processes to the database."""
        self._here: set[str] = set()
        self._guard = threading.Lock()
        self._file: int | None = None
        if folder is not None:
            # Never closed before the process ends: closing any descriptor of it would free every lock.
            self._file = os.open(folder / FILE, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)

    @contextmanager
    def hold(self, name: str, refusal: Callable[[], DomainError]) -> Iterator[None]:
        """Hold a key while the block runs; raises `refusal()` where somebody else holds it."""
        with self._guard:
            if name in self._here or not self._lock(name):
                raise refusal()
            self._here.add(name)
        try:
            yield
        finally:
            with self._guard:
                self._here.discard(name)
                self._unlock(name)

    def hold_within(self, writes: WriteSession, name: str, refusal: Callable[[], DomainError]) -> None:
        """Hold a key until the transaction ends, against other workers of a PostgreSQL database."""
        if writes.connection.dialect.name != "postgresql":
            return
        statement = text("SELECT pg_try_advisory_xact_lock(:key)")
        if not writes.connection.execute(statement, {"key": int(name[:15], 16)}).scalar():
            raise refusal()

    def close(self) -> None:
        """Let every lock go."""
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def _lock(self, name: str) -> bool:
        if self._file is None:
            return True
        try:
            fcntl.lockf(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, _place(name))
        except OSError:
            return False
        return True

    def _unlock(self, name: str) -> None:
        if self._file is not None:
            fcntl.lockf(self._file, fcntl.LOCK_UN, 1, _place(name))


def _place(name: str) -> int:
    return int(name[:15], 16) % _PLACES
