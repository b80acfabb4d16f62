"""Where each key of a TOML document stands.

`tomllib` gives no positions. This scanner walks a document that `tomllib` has already taken, so that
it may assume the document to be valid; it knows keys, tables, arrays of tables, inline tables, arrays
and the four kinds of string, and looks at no other value. Source: TOML 1.0.0.
"""

import re
import tomllib
from collections.abc import Iterator

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)+")
_KEY_PART = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")'
    r"|'''.*?'{3,5}(?!')"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_BARE = re.compile(r"[^,\]}#\r\n]+")


def find_positions(text: str) -> dict[Path, int]:
    """Return the offset of every key and list element of a valid TOML document, by its path.

    A table's or list's path leads to its header or key; an element of a list of tables to its own
    header. Offsets count characters from 0.
    """
    return _Scanner(text).scan()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found: dict[Path, int] = {}
        self.lengths: dict[Path, int] = {}

    def scan(self) -> dict[Path, int]:
        table: Path = ()
        while self._skip_blank():
            if self.text.startswith("[", self.at):
                table = self._header()
            else:
                self._pair(table)
        return self.found

    def _skip_blank(self) -> bool:
        blank = _BLANK.match(self.text, self.at)
        if blank:
            self.at = blank.end()
        return self.at < len(self.text)

    def _header(self) -> Path:
        start = self.at
        is_list = self.text.startswith("[[", start)
        self.at += 2 if is_list else 1
        path: Path = ()
        parts = list(self._key())
        for place, (name, _) in enumerate(parts):
            path = (*path, name)
            if is_list and place == len(parts) - 1:
                self.found.setdefault(path, start)
                self.lengths[path] = self.lengths.get(path, 0) + 1
            else:
                self.found.setdefault(path, start)
            if path in self.lengths:
                path = (*path, self.lengths[path] - 1)
                self.found.setdefault(path, start)
        self.at = self.text.index("]", self.at) + (2 if is_list else 1)
        return path

    def _pair(self, table: Path) -> None:
        path = table
        for name, offset in self._key():
            path = (*path, name)
            self.found.setdefault(path, offset)
        self.at = self.text.index("=", self.at) + 1
        self._value(path)

    def _key(self) -> Iterator[tuple[str, int]]:
        while True:
            self._skip_blank()
            part = _KEY_PART.match(self.text, self.at)
            if part is None:
                raise ValueError(f"no key at offset {self.at}: the document is not valid TOML")
            self.at = part.end()
            yield _plain_key(part.group()), part.start()
            dot = re.compile(r"[ \t]*\.").match(self.text, self.at)
            if dot is None:
                return
            self.at = dot.end()

    def _value(self, path: Path) -> None:
        self._skip_blank()
        opening = self.text[self.at]
        if opening == "{":
            self._inside("}", path, None)
        elif opening == "[":
            self._inside("]", path, 0)
        else:
            pattern = _STRING if opening in "\"'" else _BARE
            match = pattern.match(self.text, self.at)
            self.at = match.end() if match else self.at + 1

    def _inside(self, closing: str, path: Path, place: int | None) -> None:
        """Walk an inline table (`place` is None) or an array up to its closing bracket."""
        self.at += 1
        while self._skip_blank() and not self.text.startswith(closing, self.at):
            if place is None:
                self._pair(path)
            else:
                self.found[(*path, place)] = self.at
                self._value((*path, place))
                place += 1
            self._skip_blank()
            if self.text.startswith(",", self.at):
                self.at += 1
        self.at += 1


def _plain_key(written: str) -> str:
    if written[0] == '"':
        return str(next(iter(tomllib.loads(f"{written} = 0"))))
    return written.strip("'") if written[0] == "'" else written
