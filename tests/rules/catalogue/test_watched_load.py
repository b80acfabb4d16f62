"""Whoever waits for a load is told of each task, of all its rows, and is shown a bar on a terminal only."""

import io
import os
import pty
import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from commands import environment

from api.database import Database
from api.exchange.catalogue_faults import CatalogueRefused
from api.exchange.load_catalogue import load_catalogue
from api.exchange.progress_bars import ProgressBars
from api.exchange.read_catalogue import read_catalogue
from api.exchange.watch import ROWS_OF_A_STEP

VALID = Path(__file__).parent / "valid"


class Note:
    """Notes what a watch is told: of each task its rows, and those done."""

    def __init__(self) -> None:
        self.tasks: list[tuple[str, int]] = []
        self.done: list[list[int]] = []

    def start(self, task: str, rows: int) -> None:
        self.tasks.append((task, rows))
        self.done.append([])

    def advance(self, rows: int) -> None:
        self.done[-1].append(rows)


class Terminal(io.StringIO):
    """A text that says that it is a terminal."""

    def isatty(self) -> bool:
        return True


def data_rows(folder: Path) -> int:
    """Return how many lines the CSV files have beside their headers; no cell of these breaks a line."""
    return sum(len(path.read_text("utf-8").splitlines()) - 1 for path in folder.rglob("*.csv"))


def test_every_row_is_told_once_while_reading() -> None:
    note = Note()
    read_catalogue(VALID, note)
    assert note.tasks == [("Reading", data_rows(VALID))]
    assert sum(note.done[0]) == data_rows(VALID)


@pytest.mark.parametrize("again", [False, True])
def test_every_entry_is_told_once_while_loading(database: Database, again: bool) -> None:
    """The report counts the same entries another way: each was added or kept."""
    catalogue = read_catalogue(VALID)
    with database.write() as session:
        if again:
            load_catalogue(session.connection, catalogue, date(2026, 11, 25))
        note = Note()
        report = load_catalogue(session.connection, catalogue, date(2026, 11, 25), note)
    entries = sum(report.added.values()) + sum(report.kept.values())
    assert note.tasks == [("Loading", entries)]
    assert sum(note.done[0]) == entries


def test_many_rows_are_told_in_steps(tmp_path: Path) -> None:
    for path in VALID.rglob("*.*"):
        target = tmp_path / path.relative_to(VALID)
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(path.read_bytes())
    more = "".join(f"maker-{row},Maker {row}\n" for row in range(2 * ROWS_OF_A_STEP))
    (tmp_path / "makers.csv").write_text((tmp_path / "makers.csv").read_text("utf-8") + more, "utf-8")
    note = Note()
    read_catalogue(tmp_path, note)
    assert note.done[0][:2] == [ROWS_OF_A_STEP, ROWS_OF_A_STEP]
    assert sum(note.done[0]) == note.tasks[0][1]


def test_a_terminal_is_shown_a_bar_for_each_task() -> None:
    terminal = Terminal()
    with ProgressBars(terminal) as bars:
        bars.start("Reading", 4)
        bars.advance(1)
        bars.advance(3)
        bars.start("Loading", 0)
    reading, loading = (line for line in terminal.getvalue().split("\n") if line)
    assert "Reading" in reading and "1/4" in reading and "4/4" in reading
    assert "Loading" in loading and "Reading" not in loading


def test_a_bar_ends_its_line_where_a_catalogue_is_refused() -> None:
    terminal = Terminal()
    with pytest.raises(CatalogueRefused), ProgressBars(terminal) as bars:
        bars.start("Reading", 4)
        bars.advance(1)
        raise CatalogueRefused.of([], 0)
    assert terminal.getvalue().rstrip("\x1b[?25h").endswith("\n")


def test_nothing_is_drawn_where_there_is_no_terminal() -> None:
    stream = io.StringIO()
    with ProgressBars(stream) as bars:
        bars.start("Reading", 4)
        bars.advance(4)
    assert stream.getvalue() == ""


def test_the_command_draws_bars_on_a_terminal_and_reports_beside_them(tmp_path: Path) -> None:
    """A real terminal of the system (a pseudo-terminal) for standard error, a pipe for the report."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "api", "load-catalogue", str(VALID), "--data", str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, env=environment()) as run:
        os.close(theirs)
        drawn = read_all(ours)
        assert run.stdout is not None
        report = run.stdout.read().decode()
    assert run.returncode == 0, drawn
    tasks = re.findall(r"(Reading|Loading) .*?(\d+)/(\d+)", drawn)
    assert [task for task, _, _ in tasks].index("Loading") > 0
    ends = {task: (done, rows) for task, done, rows in tasks}
    assert ends["Reading"] == (str(data_rows(VALID)),) * 2
    assert ends["Loading"][0] == ends["Loading"][1]
    assert "parts: 5 added, 0 kept" in report and "Reading" not in report


def read_all(terminal: int) -> str:
    """Return all that is written to a terminal until its other end is closed."""
    found = b""
    try:
        while piece := os.read(terminal, 4096):
            found += piece
    except OSError:  # how Linux tells that the other end is gone
        pass
    finally:
        os.close(terminal)
    return found.decode()
