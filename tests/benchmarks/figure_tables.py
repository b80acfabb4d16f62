"""Tables of measured figures, and where and when they were measured, as text that a report can take."""

import os
import platform
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path

BYTES_PER_GIB = 1024**3
BYTES_PER_MIB = 1024**2


def circumstances() -> str:
    """Return day, machine and what else it did: cores, memory, load."""
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / BYTES_PER_GIB
    load = ", ".join(f"{one:.1f}" for one in os.getloadavg())
    return (
        f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC; {len(os.sched_getaffinity(0))} cores, {memory:.0f} GiB; "
        f"Python {platform.python_version()}; load over 1, 5, 15 minutes {load}"
    )


def table(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a table in Markdown, its columns as wide as they need."""
    cells = [[str(cell) for cell in row] for row in rows]
    widths = [max(len(row[place]) for row in [list(heads), *cells]) for place in range(len(heads))]
    lines = [heads, ["-" * width for width in widths], *cells]
    return "\n".join(
        f"| {' | '.join(cell.ljust(width) for cell, width in zip(line, widths, strict=True))} |"
        for line in lines
    )


def folder_bytes(folder: Path) -> int:
    """Return how many bytes the files beneath a folder have."""
    return sum(file.stat().st_size for file in folder.rglob("*") if file.is_file())


def mebibytes(count: float) -> str:
    """Return a count of bytes in MiB."""
    return f"{count / BYTES_PER_MIB:,.0f} MiB"
