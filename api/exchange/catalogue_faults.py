"""What is wrong in a catalogue's files, and where."""

from collections.abc import Sequence

import attrs

from api.errors import CommandRefused

MOST_FAULTS = 1_000
"""Most faults that are told of one folder; more would help nobody (our judgement)."""

FAULTS_IN_SENTENCE = 20


@attrs.frozen(kw_only=True)
class CatalogueFault:
    """One fault: the file (path beneath the folder), line and column from 1, what stood there.

    `column` counts characters in the line. `field` is the column's header or the path of keys; `value`
    is what was found, `expected` what was expected, `code` a stable word, `nearest` a known name near it.
    """

    file: str
    line: int
    column: int
    field: str
    value: str
    expected: str
    code: str
    nearest: str | None = None

    def explain(self) -> str:
        """Return the fault on one line, as compilers write them."""
        field = f"{self.field}: " if self.field else ""
        found = f"{self.value!r} cannot be taken, " if self.value else ""
        hint = f"; the nearest known is {self.nearest!r}" if self.nearest else ""
        return f"{self.file}:{self.line}:{self.column}: {field}{found}expected {self.expected}{hint}"


@attrs.frozen
class CatalogueRefused(CommandRefused):
    """A catalogue folder cannot be read; all its faults, by file and line.

    Of more than `MOST_FAULTS` faults the first are kept; `total` counts all.
    """

    faults: tuple[CatalogueFault, ...]
    total: int

    @classmethod
    def of(cls, faults: Sequence[CatalogueFault], untold: int = 0) -> "CatalogueRefused":
        """Collect faults (one at least), sorted by file, line and column; `untold` more were met."""
        ordered = sorted(faults, key=lambda fault: (fault.file, fault.line, fault.column, fault.field))
        return cls(tuple(ordered[:MOST_FAULTS]), len(faults) + untold)

    def explain(self) -> str:
        """Return one line for each of the first faults, and how many there are."""
        shown = self.faults[:FAULTS_IN_SENTENCE]
        more = self.total - len(shown)
        lines = [fault.explain() for fault in shown]
        if more:
            lines.append(f"and {more} more")
        return "\n".join(lines)
