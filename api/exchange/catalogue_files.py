"""The files of a catalogue folder: which there are, their rows and tables, and all their faults."""

from collections.abc import Callable, Collection, Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import TypeVar

from api.errors import FieldFault, InvalidInput, shown
from api.exchange.catalogue_faults import MOST_FAULTS, CatalogueFault, CatalogueRefused
from api.exchange.csv_rows import CsvRow, CsvTable, read_csv
from api.exchange.row_keys import RowKey, TakenKeys
from api.exchange.source_text import Place, SourceText, read_source
from api.exchange.toml_tables import TomlDocument, read_toml
from api.exchange.watch import ROWS_OF_A_STEP, UNWATCHED, Watch
from api.measurement.refusals import nearest_name

Entry = TypeVar("Entry")
Cells = dict[str, str]

PASSED_OVER = ("instruments.toml", "limits.toml")
"""Files that belong to the folder and are read elsewhere."""
PASSED_OVER_FOLDER = "diagnosis/"
"""A folder beneath it whose files are read elsewhere."""


class CatalogueFiles:
    """Reads the files beneath a folder and gathers faults; `settle` raises them all at once."""

    def __init__(self, folder: Path, watch: Watch = UNWATCHED) -> None:
        self._folder = folder
        self._watch = watch
        self._faults: list[CatalogueFault] = []
        self._untold = 0
        self._unread = False

    def names(self, directory: str, ending: str) -> list[str]:
        """Return the files of one directory, in alphabetical order; one at least is expected."""
        found = sorted(f"{directory}/{path.name}" for path in (self._folder / directory).glob(f"*{ending}"))
        if not found:
            self._stop(
                self._whole_file(f"{directory}/", f"one file {directory}/…{ending} at least", "missing_file")
            )
        return found

    def refuse_others(self, expected: Collection[str]) -> None:
        """Note every CSV and TOML file that is none of the catalogue's."""
        for path in sorted(self._folder.rglob("*")):
            name = path.relative_to(self._folder).as_posix()
            if path.suffix not in {".csv", ".toml"} or name in expected or name in PASSED_OVER:
                continue
            if name.startswith(PASSED_OVER_FOLDER):
                continue
            self._stop(
                self._whole_file(
                    name, "only files of the catalogue", "unknown_file", nearest_name(name, expected)
                )
            )

    def csv(self, name: str, columns: Collection[str], optional: Collection[str] = ()) -> CsvTable:
        """Return a CSV file, empty where it cannot be read."""
        source = read_source(self._folder, name)
        if isinstance(source, CatalogueFault):
            self._stop(source)
            return CsvTable(SourceText(name, ""), tuple(columns), 0, whole=False)
        table, faults = read_csv(source, columns, optional)
        self._faults.extend(faults)
        self._unread = self._unread or not table.whole
        return table

    def toml(self, name: str) -> TomlDocument | None:
        """Return a TOML file, None where it cannot be read."""
        source = read_source(self._folder, name)
        document = source if isinstance(source, CatalogueFault) else read_toml(source)
        if isinstance(document, CatalogueFault):
            self._stop(document)
            return None
        return document

    def has(self, name: str) -> bool:
        """Return whether there is such a file."""
        return (self._folder / name).is_file()

    def entries(
        self,
        table: CsvTable,
        check: Callable[[Cells], Entry],
        key: RowKey,
        taken: TakenKeys | None = None,
    ) -> tuple[Entry, ...]:
        """Return the entry of every row that `check` takes; note the faults of the others.

        A key met before, in this table or in `taken`, is a fault of the key's last column.
        """
        taken = TakenKeys() if taken is None else taken
        taken.start(table.source.name)
        entries = []
        for row in self._watched(table):
            if row.ragged:
                continue
            try:
                entries.append(check(row.cells))
            except InvalidInput as refused:
                for fault in refused.faults:
                    self.row_fault(table, row, fault)
            before = taken.take(key.of(row.cells), row.line)
            if before is not None:
                column, expected = key.columns[-1], f"one not used before (it is at {before})"
                value = shown(row.cells[column].strip())
                self.row_fault(table, row, FieldFault((column,), value, expected, "duplicate"))
        return tuple(entries)

    def _watched(self, table: CsvTable) -> Iterator[CsvRow]:
        rows = table.rows
        while chunk := list(islice(rows, ROWS_OF_A_STEP)):
            yield from chunk
            self._watch.advance(len(chunk))

    def row_fault(self, table: CsvTable, row: CsvRow, fault: FieldFault) -> None:
        """Note a rule's fault: its last step that is a column tells the cell.

        Beyond `MOST_FAULTS` faults are counted only.
        """
        if len(self._faults) >= MOST_FAULTS:
            self._untold += 1
            return
        steps = [step for step in fault.path if isinstance(step, str) and step in table.columns]
        column = steps[-1] if steps else ""
        self._faults.append(table.source.fault(table.place(row, column), fault, field=column or None))

    def document_faults(
        self, document: TomlDocument, faults: Iterable[FieldFault], *prefix: str | int
    ) -> None:
        """Note a rule's faults beneath `prefix` of a TOML document."""
        self._faults.extend(document.fault(fault.beneath(*prefix)) for fault in faults)

    def stop_where_unread(self) -> None:
        """Raise every fault so far where a file could not be read: the rest cannot be judged."""
        if self._unread:
            raise CatalogueRefused.of(self._faults, self._untold)

    def settle(self) -> None:
        """Raise `CatalogueRefused` with all faults, if there is one."""
        if self._faults:
            raise CatalogueRefused.of(self._faults, self._untold)

    def _stop(self, fault: CatalogueFault) -> None:
        self._faults.append(fault)
        self._unread = True

    def _whole_file(self, name: str, expected: str, code: str, nearest: str | None = None) -> CatalogueFault:
        return SourceText(name, "").fault(Place(1, 1), FieldFault((), "", expected, code, nearest))
