"""The table of security requirements: every test that it names exists, and it counts itself rightly."""

import ast
import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TABLE = (ROOT / "tests" / "security" / "asvs.md").read_text("utf-8")
ROWS = [
    tuple(cell.strip() for cell in line.strip("|").split("|"))
    for line in TABLE.splitlines()
    if re.match(r"\| \d+\.\d+\.\d+ ", line)
]
STATES = ("shown", "stands", "short")


@cache
def names_in(file: str) -> frozenset[str]:
    """Return the names of the tests of a file; none where there is no such file."""
    path = ROOT / file
    if not path.is_file():
        return frozenset()
    nodes = ast.walk(ast.parse(path.read_text("utf-8")))
    return frozenset(node.name for node in nodes if isinstance(node, ast.FunctionDef))


def named(cell: str) -> list[tuple[str, str]]:
    return [(file, test) for file, test in re.findall(r"`(tests/[\w/]+\.py)::(test_\w+)`", cell)]


def test_rows_are_whole_and_in_order() -> None:
    assert {len(row) for row in ROWS} == {5}
    numbers = [tuple(int(part) for part in row[0].split(".")) for row in ROWS]
    assert numbers == sorted(set(numbers))
    assert {row[1] for row in ROWS} == {"1", "2"}
    assert {row[3] for row in ROWS} == set(STATES)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_every_test_that_is_named_exists(row: tuple[str, ...]) -> None:
    tests = named(row[4])
    assert [one for one in tests if one[1] not in names_in(one[0])] == []
    assert row[4].count("`tests/") == len(tests)
    if row[3] == "shown":
        assert tests
    else:
        assert re.sub(r"`[^`]*`", "", row[4]).strip(" ,;.")


def test_the_table_counts_itself_rightly() -> None:
    counts = Counter(row[3] for row in ROWS)
    told = re.search(r"(\d+) requirements apply: (\d+) shown, (\d+) stand, (\d+) fall short", TABLE)
    assert told is not None
    assert tuple(map(int, told.groups())) == (len(ROWS), *(counts[state] for state in STATES))
