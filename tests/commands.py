"""Run `startwright` as a process of its own, as a newcomer does."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

START_SECONDS = 20


def environment(**settings: str) -> dict[str, str]:
    """Return this process's environment with no settings of the service but these."""
    plain = {name: value for name, value in os.environ.items() if not name.startswith("STARTWRIGHT_")}
    return {**plain, **settings}


def startwright(*words: str | Path, **settings: str) -> subprocess.CompletedProcess[str]:
    """Run a command to its end."""
    return subprocess.run(
        [sys.executable, "-m", "api", *map(str, words)],
        env=environment(**settings),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@dataclass
class Serving:
    """A running server: its process, and the address that it printed."""

    process: subprocess.Popen[str]
    address: str = ""
    errors: str = ""

    def wait_for_address(self) -> str:
        """Return the address once the server prints it; fails with what it said otherwise."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.startswith("Open "):
                self.address = line.removeprefix("Open ").strip()
                return self.address
        raise AssertionError(f"it ended with {self.process.wait()}: {self.process.communicate()[1]}")

    def stop(self) -> int:
        """Ask it to end, and return its exit status; `errors` then holds what it logged."""
        self.process.terminate()
        self.errors += self.process.communicate(timeout=START_SECONDS)[1] or ""
        return self.process.returncode


@contextmanager
def started(*words: str | Path, **settings: str) -> Iterator[Serving]:
    """Start a server on a free port; it is ended when the block is left."""
    process = subprocess.Popen(
        [sys.executable, "-m", "api", "serve", "--port", "0", *map(str, words)],
        env=environment(**settings),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    serving = Serving(process)
    try:
        yield serving
    finally:
        if process.poll() is None:
            serving.stop()
