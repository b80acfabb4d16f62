"""The folder that all processes of one run of the tests share; it is gone when the run ends.

A run holds a lock on its folder as long as it lives. A folder that nobody holds was left by a killed run,
perhaps with a server that still runs, and the next run removes it.
"""

import fcntl
import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from private_postgresql import stop_cluster

FOLDER_SETTING = "STARTWRIGHT_TESTS_FOLDER"
PREFIX = "startwright-test-run-"
CLUSTER = "cluster"
IN_MEMORY = Path("/dev/shm")
ROOM_NEEDED = 2 * 1024**3
"""Bytes that a run may fill at most: two workers' databases and the server's log of changes."""


def shared_folder() -> Path:
    """Return the folder that all processes of this run share."""
    return Path(os.environ[FOLDER_SETTING])


def made_once(name: str, make: Callable[[Path], None]) -> Path:
    """Let one process of the run make `name` in the shared folder; the others wait, then find it."""
    made, done = shared_folder() / name, shared_folder() / f"{name}.done"
    with (shared_folder() / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not done.exists():
            make(made)
            done.touch()
    return made


class RunFolder:
    """A run's folder while it is held: `path`, gone after `remove`."""

    def __init__(self, place: Path) -> None:
        """Make and hold a folder in `place`; it takes its name once it is held."""
        made = Path(tempfile.mkdtemp(prefix=f"new-{PREFIX}", dir=place))
        self._hold = os.open(made, os.O_RDONLY)
        fcntl.flock(self._hold, fcntl.LOCK_EX)
        made.chmod(0o711)  # the server's unprivileged user passes through
        self.path = made.rename(made.with_name(made.name.removeprefix("new-")))

    def remove(self) -> None:
        """Stop the server in it, if one runs, and remove it."""
        stop_cluster(self.path / CLUSTER)
        shutil.rmtree(self.path)
        os.close(self._hold)


def remove_what_killed_runs_left(place: Path) -> None:
    """Remove the folders in `place` that no run holds; one that resists does not stop this run.

    A server that cannot be told to stop is dead, or stops by itself once its files are gone.
    """
    for folder in place.glob(f"{PREFIX}*"):
        with suppress(OSError):  # another run was first; another user's
            hold = os.open(folder, os.O_RDONLY)
            try:
                fcntl.flock(hold, fcntl.LOCK_EX | fcntl.LOCK_NB)
                with suppress(RuntimeError):
                    stop_cluster(folder / CLUSTER)
                shutil.rmtree(folder)
            finally:
                os.close(hold)


def _quickest_place() -> Path:
    """Return a folder in memory where there is one with room, else the usual temporary folder.

    Making a database is hundreds of small files: 0.02 s in memory, up to 0.3 s on a disk (measured).
    """
    usable = "TMPDIR" not in os.environ and IN_MEMORY.is_dir() and os.access(IN_MEMORY, os.W_OK)
    roomy = usable and shutil.disk_usage(IN_MEMORY).free > ROOM_NEEDED
    return IN_MEMORY if roomy else Path(tempfile.gettempdir())


_HELD = pytest.StashKey[RunFolder]()


def pytest_configure(config: pytest.Config) -> None:
    if not hasattr(config, "workerinput"):  # the process that starts the workers, or the only one
        place = _quickest_place()
        remove_what_killed_runs_left(place)
        config.stash[_HELD] = RunFolder(place)
        os.environ[FOLDER_SETTING] = str(config.stash[_HELD].path)


def pytest_unconfigure(config: pytest.Config) -> None:
    if _HELD in config.stash:
        config.stash[_HELD].remove()
        del os.environ[FOLDER_SETTING]
