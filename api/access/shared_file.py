"""A small file of values by key that all processes of one host share: mapped into memory, no server.

It is an LMDB file. Its writers take turns by a lock that outlives them: whoever is killed while he writes
leaves the file as it was before, and the next one goes on. Nothing is forced to the disk.

A folder that somebody deletes is made anew by whoever comes next, and the others find it with their next
look: everybody starts from nothing. So does a file that is full or in pieces. One thing is not survived:
cutting the file short while it is in use ends the processes that have it mapped.
"""

import os
import secrets
import shutil
import struct
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import Final, TypeVar
from weakref import WeakValueDictionary

import lmdb

_READERS: Final = 1_024
"""Threads of all processes that may look something up at the same time."""
_LOCK_BYTES: Final = (_READERS + 1) * 128
"""Room for the file of locks: a line or two of the processor's cache for each reader, and a head."""
_MENDED_BY_A_NEW_FILE: Final = (lmdb.Error, OSError, struct.error)

Result = TypeVar("Result")


class FileNotUsable(Exception):
    """The file can be neither read nor written, not even after it was made anew."""


class SharedFile:
    """The file of a folder, opened when it is used first; safe for threads, not for a fork once open."""

    def __init__(self, folder: Path, map_bytes: int) -> None:
        """Name the folder and how many bytes the file may grow to; nothing is opened yet."""
        self._folder = folder
        self._map_bytes = map_bytes
        self._lock = Lock()
        self._open: lmdb.Environment | None = None
        self._opened: tuple[int, int] | None = None

    def use(self, work: Callable[[lmdb.Environment], Result]) -> Result:
        """Do something with the file as it now is; once more with a new one where that fails.

        Raises `FileNotUsable`.
        """
        with self._lock:
            try:
                return work(self._current())
            except _MENDED_BY_A_NEW_FILE:
                self._retire()
            try:
                return work(self._current())
            except _MENDED_BY_A_NEW_FILE as error:
                self._close()
                raise FileNotUsable(f"{self._folder}: {error}") from error

    def start_anew(self) -> None:
        """Put a new and empty file in its place, for every process."""
        with self._lock:
            self._retire()

    def close(self) -> None:
        """Give the file back; the next use opens it again."""
        with self._lock:
            self._close()

    def _current(self) -> lmdb.Environment:
        """Return the open file, opened again where its folder is another one or has lost a file."""
        if self._open is not None and _state(self._folder) == self._opened:
            return self._open
        self._close()
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _reserve(self._folder / "lock.mdb", _LOCK_BYTES)
        self._open = lmdb.open(
            str(self._folder),
            map_size=self._map_bytes,
            mode=0o600,
            sync=False,
            metasync=False,
            max_readers=_READERS,
        )
        self._open.reader_check()  # frees the places of readers that were killed
        self._opened = _state(self._folder)
        return self._open

    def _retire(self) -> None:
        """Move the folder away whole, unless another process has just done so."""
        opened = self._opened
        self._close()
        if opened is not None and _state(self._folder) != opened:
            return
        away = self._folder.with_name(f"{self._folder.name}-{secrets.token_hex(8)}")
        with suppress(OSError):
            self._folder.rename(away)
            shutil.rmtree(away)

    def _close(self) -> None:
        opened, self._open, self._opened = self._open, None, None
        if opened is not None:
            opened.close()


def _reserve(file: Path, size: int) -> None:
    """Give a file its room on the disk: what is mapped and has none ends the process that writes to it."""
    opened = os.open(file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        os.posix_fallocate(opened, 0, size)
    finally:
        os.close(opened)


def _state(folder: Path) -> tuple[int, int] | None:
    """Return what changes when a folder is replaced, or gets or loses a file: one call of the system."""
    try:
        found = os.stat(folder)  # noqa: PTH116  # a third of the time of Path.stat, on every request
    except OSError:
        return None
    return found.st_ino, found.st_mtime_ns


_FILES: "WeakValueDictionary[Path, SharedFile]" = WeakValueDictionary()
_FILES_LOCK: Final = Lock()


def shared_file(folder: Path, map_bytes: int) -> SharedFile:
    """Return the file of a folder: one in each process, since LMDB may open it only once there."""
    place = folder.absolute()
    with _FILES_LOCK:
        found = _FILES.get(place)
        if found is None:
            found = _FILES[place] = SharedFile(place, map_bytes)
        return found
