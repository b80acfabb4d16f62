"""Tests that need a program this machine may lack: `@pytest.mark.needs("postgresql")` and the like.

Where the program is missing such tests are left out of the run, and the very last line says how many
and how to get it. Where the environment variable `CI` is set nothing may be missing: they fail.
"""

import os
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from private_postgresql import server_files


def browser_program() -> Path | None:
    """Return an installed Chromium: on the path, else one that Playwright fetched, else nothing."""
    for name in ("chromium", "chromium-browser", "google-chrome", "chrome"):
        if found := shutil.which(name):
            return Path(found)
    kept = Path(os.environ.get("PLAYWRIGHT_BROWSERS_PATH") or Path.home() / ".cache" / "ms-playwright")
    return next((file for file in sorted(kept.glob("chromium-*/chrome-*/chrome")) if file.is_file()), None)


def load_driver() -> Path | None:
    """Return the program that sends many requests, where it is on the path."""
    found = shutil.which("wrk")
    return Path(found) if found else None


@dataclass(frozen=True)
class Program:
    """A program outside Python: how to find it, what it is called, how to get it."""

    find: Callable[[], Path | None]
    name: str
    remedy: str


PROGRAMS = {
    "postgresql": Program(
        server_files, "PostgreSQL's server files", "on Debian install the package postgresql-15"
    ),
    "browser": Program(browser_program, "a Chromium browser", "on Debian install the package chromium"),
    "wrk": Program(
        load_driver, "the load driver wrk", "it measures the searches; on Debian install the package wrk"
    ),
}

LEFT_OUT = pytest.StashKey[Counter[str]]()
MISSING = pytest.StashKey[frozenset[str]]()


def needed_by(item: pytest.Item) -> set[str]:
    """Return what the marks of a test say that it needs; an unknown word is a mistake in the test."""
    wanted = {name for mark in item.iter_markers("needs") for name in mark.args}
    if unknown := wanted - set(PROGRAMS):
        raise pytest.UsageError(f"{item.nodeid} needs {sorted(unknown)}; known are {sorted(PROGRAMS)}")
    return wanted


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line(
        "markers", f"needs(program): run only where it is installed: {', '.join(PROGRAMS)}"
    )
    config.stash[LEFT_OUT] = Counter()
    config.stash[MISSING] = frozenset(name for name, program in PROGRAMS.items() if program.find() is None)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    missing = config.stash[MISSING]
    absent = {item: sorted(needed_by(item) & missing) for item in items}
    if os.environ.get("CI"):
        return
    left_out = [item for item in items if absent[item]]
    if left_out:
        config.stash[LEFT_OUT].update(absent[item][0] for item in left_out)
        items[:] = [item for item in items if not absent[item]]
        config.hook.pytest_deselected(items=left_out)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    for name in sorted(needed_by(item) & item.config.stash[MISSING]):
        pytest.fail(f"{PROGRAMS[name].name} not found; {PROGRAMS[name].remedy}", pytrace=False)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    told = Counter((getattr(node, "workeroutput", None) or {}).get("left_out", {}))
    node.config.stash[LEFT_OUT] |= told  # every worker collects the same tests


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> Iterator[None]:
    left_out = session.config.stash[LEFT_OUT]
    output = getattr(session.config, "workeroutput", None)
    if output is not None:
        output["left_out"] = dict(left_out)  # a worker sends it off within
    yield  # the whole report is printed within
    if output is None and left_out:
        parts = (
            f"{count} {'test that needs' if count == 1 else 'tests that need'} {PROGRAMS[name].name}"
            f" ({PROGRAMS[name].remedy})"
            for name, count in sorted(left_out.items())
        )
        session.config.get_terminal_writer().line(f"Not run: {'; '.join(parts)}.")
