"""Counts that all processes of one host share: a storage of ours for the library `limits`, in a shared file.

Each start of the host has its own folder, because a host that loses its power may leave a file that was not
forced to the disk in pieces.
"""

import shutil
import struct
import time
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Final

import lmdb
from limits.storage import Storage

from api.access.shared_file import FileNotUsable, shared_file

FOLDER_PREFIX: Final = "rate-limits-"
MAP_BYTES: Final = 64 * 1024**2
"""Room for some 400,000 who are counted; then everybody starts from nothing (our judgement)."""
_LONGEST_KEY: Final = 400
"""Bytes of a key as it is; longer ones are kept as their SHA-256 (LMDB takes 511)."""
_BOOT: Final = Path("/proc/sys/kernel/random/boot_id")
_COUNT: Final = struct.Struct("<Qd")
"""How many, and until when (seconds since 1970)."""


def counts_folder(data: Path) -> Path:
    """Return where a host keeps the counts of a data folder since it was started."""
    try:
        boot = _BOOT.read_text("ascii").strip()
    except OSError:
        boot = "host"  # no Linux; a file in pieces is then found when it is read
    return data / f"{FOLDER_PREFIX}{boot}"


def remove_earlier_counts(folder: Path) -> None:
    """Remove what earlier starts of the host left beside a folder of counts."""
    for left in folder.parent.glob(f"{FOLDER_PREFIX}*"):
        if left != folder:
            shutil.rmtree(left, ignore_errors=True)


class SharedCounts(Storage):
    """A storage for `limits`: every process opens its own on the same folder; methods raise `FileNotUsable`.

    `now` gives seconds since 1970.
    """

    STORAGE_SCHEME = None

    def __init__(
        self, folder: Path, now: Callable[[], float] = time.time, map_bytes: int = MAP_BYTES
    ) -> None:
        """Name the folder; it is made when something is counted first."""
        super().__init__()
        self._file = shared_file(folder, map_bytes)
        self._now = now

    @property
    def base_exceptions(self) -> type[Exception]:
        """What the library may wrap."""
        return FileNotUsable

    def incr(self, key: str, expiry: int, amount: int = 1) -> int:
        """Count `amount` more under a key and return the count; its window lasts `expiry` seconds.

        A window that would last longer than `expiry` from now was opened before the clock was put back, and
        is opened anew.
        """
        name = _name(key)

        def count(file: lmdb.Environment) -> int:
            with lmdb.Transaction(file, write=True) as writes:
                now = self._now()
                taken, until = _read(writes.get(name))
                if not now < until <= now + expiry:
                    taken, until = 0, now + expiry
                writes.put(name, _COUNT.pack(taken + amount, until))
                return taken + amount

        return self._file.use(count)

    def get(self, key: str) -> int:
        """Return the count of a key, 0 where its window is closed."""
        taken, until = self._look_up(key)
        return taken if self._now() < until else 0

    def get_expiry(self, key: str) -> float:
        """Return when a key's window closes, in seconds since 1970; now where it is closed."""
        return max(self._now(), self._look_up(key)[1])

    def check(self) -> bool:
        """Tell whether something can be counted."""
        try:
            self._file.use(lambda file: file.stat())
        except FileNotUsable:
            return False
        return True

    def reset(self) -> int | None:
        """Start everybody from nothing; how many they were is not counted."""
        self._file.start_anew()
        return None

    def clear(self, key: str) -> None:
        """Start a key from nothing."""

        def forget(file: lmdb.Environment) -> None:
            with lmdb.Transaction(file, write=True) as writes:
                writes.delete(_name(key))

        self._file.use(forget)

    def close(self) -> None:
        """Give the file back; the next count opens it again."""
        self._file.close()

    def _look_up(self, key: str) -> tuple[int, float]:
        def look(file: lmdb.Environment) -> tuple[int, float]:
            with lmdb.Transaction(file) as reads:
                return _read(reads.get(_name(key)))

        return self._file.use(look)


def _name(key: str) -> bytes:
    name = key.encode("utf-8", "surrogatepass")
    return name if 0 < len(name) <= _LONGEST_KEY else sha256(name).digest()


def _read(value: bytes | None) -> tuple[int, float]:
    if value is None:
        return 0, 0.0
    taken, until = _COUNT.unpack(value)
    return int(taken), float(until)
