"""What the house style asks of the tree, so that prose and code do not drift apart."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from source_files import ROOT, python_files, syntax, tracked_files

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
TOP_FOLDERS = {"api", "migrations", "seed_catalog", "tests", "openapi"}
MOST_LINES = 400
VAGUE_NAMES = {"utils", "util", "common", "helpers", "helper", "base", "manager", "managers", "misc"}


def test_the_top_level_holds_what_was_agreed_and_nothing_else() -> None:
    names = {path.relative_to(ROOT).parts[0] for path in tracked_files()}
    others = {name for name in names if not name.startswith(".")} - TOP_LEVEL - TOP_FOLDERS
    assert others == set()


def test_import_contracts_are_kept() -> None:
    program = Path(sys.executable).with_name("lint-imports")
    run = subprocess.run([program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout


def test_every_folder_of_the_package_is_in_the_developers_map() -> None:
    told = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    folders = {
        path.parent.relative_to(ROOT / "api").parts[0]
        for path in python_files("api")
        if path.parent != ROOT / "api"
    }
    assert {folder for folder in folders if f"`api/{folder}/`" not in told} == set()


@pytest.mark.parametrize("folder", ["api", "tests", "migrations"])
def test_no_file_is_too_long(folder: str) -> None:
    lengths = {
        path.relative_to(ROOT): len(path.read_text("utf-8").splitlines()) for path in python_files(folder)
    }
    assert {path: lines for path, lines in lengths.items() if lines > MOST_LINES} == {}


def test_no_module_has_a_name_that_says_nothing() -> None:
    files = [path.relative_to(ROOT) for path in python_files("api", "tests", "migrations")]
    assert [path for path in files if VAGUE_NAMES & {part.removesuffix(".py") for part in path.parts}] == []


def test_nothing_commits_outside_the_database_module() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in python_files("api")
        if path != ROOT / "api" / "database.py"
        for node in ast.walk(syntax(path))
        if isinstance(node, ast.Attribute) and node.attr in {"commit", "begin", "begin_nested"}
    ]
    assert found == []


def test_no_import_hides_inside_a_function() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{inner.lineno}"
        for path in python_files("api", "tests")
        for node in ast.walk(syntax(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    ]
    assert found == []


def test_every_silenced_check_gives_its_reason() -> None:
    """After `type: ignore[...]`, `noqa: ...` or `pragma: no cover` a second comment says why."""
    marks = ("# type: " + "ignore", "# no" + "qa", "# pragma: " + "no cover")
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in python_files("api", "tests", "migrations")
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        for mark in marks
        if mark in line and "#" not in line.split(mark, 1)[1]
    ]
    assert found == []


def test_test_files_have_names_of_their_own() -> None:
    """Without packages, pytest imports test files by their bare name."""
    names = [path.name for path in python_files("tests") if path.name != "conftest.py"]
    assert sorted({name for name in names if names.count(name) > 1}) == []
