"""Rows of a comma-separated file (RFC 4180), each knowing its line.

The first row names the columns. Cells may be quoted, hold commas, doubled quotes and line breaks. A
row without any cell filled is passed over. Rows are taken from the text whenever they are asked for and
are not kept: a file of a million rows needs the memory of its text.
"""

import csv
from collections.abc import Collection, Iterator
from typing import NamedTuple

import attrs

from api.errors import FieldFault, shown
from api.exchange.catalogue_faults import CatalogueFault
from api.exchange.source_text import Place, SourceText
from api.measurement.refusals import nearest_name


class CsvRow(NamedTuple):
    """One row: its cells by column, and the line and the offset at which it begins.

    A `ragged` row has too few cells or too many; the cells of the columns it has may be misplaced.
    """

    cells: dict[str, str]
    line: int
    offset: int
    ragged: bool = False


@attrs.frozen(eq=False)
class CsvTable:
    """A file's header and how many rows it has; `whole` where nothing kept rows from being read."""

    source: SourceText
    columns: tuple[str, ...]
    count: int
    whole: bool

    @property
    def rows(self) -> Iterator[CsvRow]:
        """Yield the rows, read anew from the text."""
        records = _records(self.source, [])
        next(records, None)
        width = len(self.columns)
        for record in records:
            cells = record.cells
            if any(map(str.strip, cells)):
                by_column = dict(zip(self.columns, cells, strict=False))
                yield CsvRow(by_column, record.line, record.offset, len(cells) != width)

    def place(self, row: CsvRow, column: str) -> Place:
        """Return where a row's cell begins; where the row has no such column, where the row begins."""
        if column not in self.columns:
            return Place(row.line, 1)
        return cell_place(self.source.text, row.line, row.offset, self.columns.index(column))


def read_csv(
    source: SourceText, columns: Collection[str], optional: Collection[str] = ()
) -> tuple[CsvTable, list[CatalogueFault]]:
    """Return the table of a file whose columns are `columns`, and every fault of its form.

    Columns of `optional` may be left out, the others are required; their order is free. Where the
    header is at fault there are no rows. Codes: `unknown_column`, `missing_column`,
    `duplicate_column`, `ragged_row`, `bad_csv`, `missing_header`.
    """
    faults: list[CatalogueFault] = []
    records = _records(source, faults)
    header = next(records, None)
    if header is None:
        if not faults:
            expected = f"a header row: {','.join(columns)}"
            faults.append(source.fault(Place(1, 1), FieldFault((), "", expected, "missing_header")))
        return CsvTable(source, (), 0, whole=False), faults
    names = tuple(name.strip() for name in header.cells)
    faults.extend(_header_faults(source, header, names, columns, optional))
    if faults:
        return CsvTable(source, names, 0, whole=False), faults
    count = 0
    for record in records:
        cells = record.cells
        if not any(map(str.strip, cells)):
            continue
        count += 1
        if len(cells) != len(names):
            expected = f"{len(names)} cells, as many as the header has"
            fault = FieldFault((), f"{len(cells)} cells", expected, "ragged_row")
            place = cell_place(source.text, record.line, record.offset, min(len(cells) - 1, len(names)))
            faults.append(source.fault(place, fault))
    whole = all(fault.code == "ragged_row" for fault in faults)
    return CsvTable(source, names, count, whole), faults


def cell_place(text: str, line: int, offset: int, index: int) -> Place:
    """Return where the cell number `index` (from 0) begins, of the row that begins at `offset`.

    `line` is the line of that offset, from 1.
    """
    column, quoted = 1, False
    while index > 0 and offset < len(text):
        char = text[offset]
        offset += 1
        column += 1
        if char == '"':
            quoted = not quoted  # a doubled quote closes and opens again
        elif char == "\n":
            line, column = line + 1, 1
        elif char == "," and not quoted:
            index -= 1
    return Place(line, column)


class _Record(NamedTuple):
    cells: list[str]
    line: int
    offset: int


def _records(source: SourceText, faults: list[CatalogueFault]) -> Iterator[_Record]:
    """Yield each record with where it begins; note what is no record and stop there."""
    text, consumed = source.text, 0

    def lines() -> Iterator[str]:
        nonlocal consumed
        while consumed < len(text):
            start, consumed = consumed, text.find("\n", consumed) + 1 or len(text)
            yield text[start:consumed]

    reader = csv.reader(lines(), strict=True)
    while True:
        line, offset = reader.line_num + 1, consumed
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as failure:
            fault = FieldFault(
                (), shown(str(failure)), "rows of RFC 4180, quotes closed and doubled", "bad_csv"
            )
            faults.append(source.fault(Place(line, 1), fault))
            return
        if cells:
            yield _Record(cells, line, offset)


def _header_faults(
    source: SourceText,
    header: _Record,
    names: tuple[str, ...],
    columns: Collection[str],
    optional: Collection[str],
) -> Iterator[CatalogueFault]:
    for index, name in enumerate(names):
        place = cell_place(source.text, header.line, header.offset, index)
        if name not in columns:
            nearest = nearest_name(name, columns) if name else None
            fault = FieldFault((), shown(name), f"one of {', '.join(columns)}", "unknown_column", nearest)
            yield source.fault(place, fault)
        elif name in names[:index]:
            yield source.fault(place, FieldFault((), name, "each column once", "duplicate_column"))
    for name in columns:
        if name not in names and name not in optional:
            fault = FieldFault((), "", f"a column {name}", "missing_column")
            yield source.fault(Place(header.line, 1), fault, field=name)
