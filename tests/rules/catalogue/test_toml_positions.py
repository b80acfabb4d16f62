"""The positions of a TOML document lead to what `tomllib` reads there."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from api.exchange.toml_positions import find_positions

VALID = Path(__file__).parent / "valid"

EVERY_SYNTAX = r'''
# a comment with [brackets] and key = "value"
plain = 1 # = "]"
dotted.key.deep = true
"quoted key" = 'literal \ with "quotes" and # no comment'
'literal.key' . next = "basic \" with ] and # inside"
"esc\u0041ped" = 2
date = 1979-05-27T07:32:00Z
many = """
line with "quotes" and ""two"" = [not a table]
key = "no key" \
   joined""""
raw = \'\'\'
[[no.table]]
it\'s\'\'\'
empty_list = []
empty_table = {}
list = [ 1, [2, 3], { inner = "a, b", other = [4] }, # comment ]
  "last",
]
table = { one = { two = { three = [ { four = 5 } ] } }, "q.r" = 6, a.b = 7 }

[section]
key = 8
[section.sub."dotted.name"]
key = 9
[[items]]
name = "first"
  [items.inner]
  value = 10
  [[items.inner.rows]]
  cell = 11
  [[items.inner.rows]]
  cell = 12
[[items]]
name = "second"
inner = { value = 13 }
[ spaced . header ]
key = 14
[late]
x = [[1], [2,],]
'''.replace("\\'", "'")


def paths_of(value: Any, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    if isinstance(value, dict):
        found = {(*path, key) for key in value}
        return found.union(*(paths_of(item, (*path, key)) for key, item in value.items()))
    if isinstance(value, list):
        found = {(*path, place) for place in range(len(value))}
        return found.union(*(paths_of(item, (*path, place)) for place, item in enumerate(value)))
    return set()


@pytest.mark.parametrize(
    "text",
    [EVERY_SYNTAX, *(file.read_text() for file in sorted(VALID.rglob("*.toml"))), "", "# nothing", "a=1"],
)
def test_every_path_has_a_position_and_no_position_is_made_up(text: str) -> None:
    assert set(find_positions(text)) == paths_of(tomllib.loads(text))


@pytest.mark.parametrize(
    ("path", "stands"),
    [
        (("plain",), "plain = 1"),
        (("dotted", "key", "deep"), "deep = true"),
        (("quoted key",), '"quoted key"'),
        (("escAped",), '"esc'),
        (("raw",), "raw = "),
        (("list", 1, 1), "3], {"),
        (("list", 2, "other", 0), "4] }"),
        (("list", 3), '"last"'),
        (("table", "one", "two", "three", 0, "four"), "four = 5"),
        (("section", "sub", "dotted.name"), '[section.sub."dotted.name"]'),
        (("items", 1), '[[items]]\nname = "second"'),
        (("items", 0, "inner", "rows", 1, "cell"), "cell = 12"),
        (("spaced", "header", "key"), "key = 14"),
    ],
)
def test_position_is_where_the_key_stands(path: tuple[str | int, ...], stands: str) -> None:
    assert EVERY_SYNTAX[find_positions(EVERY_SYNTAX)[path] :].startswith(stands)


@pytest.mark.parametrize("text", ["= 1", "[", "a = 1\n* = 2"])
def test_document_that_is_not_toml_is_refused_not_misread(text: str) -> None:
    with pytest.raises(ValueError, match="not valid TOML"):
        find_positions(text)
