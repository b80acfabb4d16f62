"""One file of a catalogue as text, and where in it something stands.

Files are UTF-8. A byte order mark at the start is passed over and line ends may be CR LF, since
spreadsheet programs write both.
"""

from pathlib import Path

import attrs

from api.errors import FieldFault, shown
from api.exchange.catalogue_faults import CatalogueFault

LARGEST_FILE = 1_000_000_000
"""Largest file that is read, in bytes (our judgement): some ten million offers."""

EXPECTED_TEXT = "text in UTF-8"


@attrs.frozen
class Place:
    """A line and a column (in characters), both from 1."""

    line: int
    column: int


@attrs.frozen(eq=False)
class SourceText:
    """The text of a file; `name` is its path beneath the catalogue's folder, with slashes."""

    name: str
    text: str

    def fault(self, place: Place, fault: FieldFault, field: str | None = None) -> CatalogueFault:
        """Return a rule's fault as a fault of this file at `place`."""
        return CatalogueFault(
            file=self.name,
            line=place.line,
            column=place.column,
            field=".".join(_step(step) for step in fault.path) if field is None else field,
            value=fault.value,
            expected=fault.expected,
            code=fault.code,
            nearest=fault.nearest,
        )

    def place_of(self, offset: int) -> Place:
        """Return where the character at `offset` stands."""
        start = self.text.rfind("\n", 0, offset) + 1
        return Place(self.text.count("\n", 0, offset) + 1, offset - start + 1)


def read_source(folder: Path, name: str) -> SourceText | CatalogueFault:
    """Return the text of the file `name` beneath `folder`, or the fault that keeps it from being read.

    Codes: `missing_file`, `too_large`, `not_utf8`, `nul_character`.
    """
    path = folder / name
    try:
        if path.stat().st_size > LARGEST_FILE:
            return _fault(name, Place(1, 1), "", f"a file of {LARGEST_FILE:,} bytes at most", "too_large")
        content = path.read_bytes()
    except OSError as failure:
        expected = f"a readable file ({failure.strerror or 'it cannot be read'})"
        return _fault(name, Place(1, 1), "", expected, "missing_file")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as failure:
        before = content[: failure.start]
        line = before.rsplit(b"\n", 1)[-1].decode("utf-8", "replace")
        place = Place(before.count(b"\n") + 1, len(line) + 1)
        value = f"byte 0x{content[failure.start]:02X}"
        return _fault(name, place, value, EXPECTED_TEXT, "not_utf8")
    source = SourceText(name, text)
    if "\0" in text:
        place = source.place_of(text.index("\0"))
        return _fault(name, place, "the NUL character", "text without NUL characters", "nul_character")
    return source


def _fault(name: str, place: Place, value: str, expected: str, code: str) -> CatalogueFault:
    return SourceText(name, "").fault(place, FieldFault((), shown(value), expected, code))


def _step(step: str | int) -> str:
    return str(step + 1) if isinstance(step, int) else step
