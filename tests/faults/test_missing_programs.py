"""A run without PostgreSQL or a browser passes and says so in its last line; in CI it fails."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]

CONFTEST = """
import dataclasses
import needed_programs

for name in ("postgresql", "browser"):
    needed_programs.PROGRAMS[name] = dataclasses.replace(needed_programs.PROGRAMS[name], find=lambda: None)
pytest_plugins = ("needed_programs",)
"""

SUITE = """
import pytest

def test_of_nothing_special():
    pass

@pytest.mark.needs("browser")
def test_of_a_page():
    raise AssertionError("must not run")

SERVER = pytest.param("postgresql", marks=pytest.mark.needs("postgresql"))

@pytest.mark.parametrize("backend", ["sqlite", SERVER])
@pytest.mark.parametrize("turn", [1, 2])
def test_of_storage(backend, turn):
    assert backend == "sqlite"
"""


def run_suite(folder: Path, *options: str, **environment: str) -> subprocess.CompletedProcess[str]:
    (folder / "conftest.py").write_text(CONFTEST)
    (folder / "test_suite.py").write_text(SUITE)
    plain = {name: value for name, value in os.environ.items() if name != "CI" and "PYTEST" not in name}
    return subprocess.run(
        [sys.executable, "-m", "pytest", "--rootdir", str(folder), "-p", "no:cacheprovider", *options, "."],
        cwd=folder,
        env={**plain, "PYTHONPATH": str(TESTS), **environment},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("options", [(), ("-q",), ("-n", "2")], ids=["plain", "quiet", "workers"])
def test_the_last_line_names_what_was_not_run_and_its_remedy(
    tmp_path: Path, options: tuple[str, ...]
) -> None:
    run = run_suite(tmp_path, *options)
    assert run.returncode == 0, run.stdout
    assert "3 passed" in run.stdout
    assert run.stdout.splitlines()[-1] == (
        "Not run: 1 test that needs a Chromium browser (on Debian install the package chromium); "
        "2 tests that need PostgreSQL's server files (on Debian install the package postgresql-15)."
    )
    assert run.stdout.count("Not run:") == 1


def test_in_ci_a_missing_program_fails_the_tests_that_need_it(tmp_path: Path) -> None:
    run = run_suite(tmp_path, CI="true")
    assert run.returncode == 1
    assert "3 passed" in run.stdout and "3 errors" in run.stdout
    assert "PostgreSQL's server files not found" in run.stdout
    assert "Not run:" not in run.stdout


def test_an_unknown_need_is_a_mistake_of_the_test(tmp_path: Path) -> None:
    (tmp_path / "test_more.py").write_text(
        "import pytest\n@pytest.mark.needs('oscilloscope')\ndef test_it(): pass\n"
    )
    run = run_suite(tmp_path)
    assert run.returncode == 4
    assert "oscilloscope" in run.stdout + run.stderr
