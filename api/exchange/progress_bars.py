"""Progress bars on a terminal, one for each task of a load."""

import sys
from contextlib import ExitStack
from types import TracebackType
from typing import Any, Self, TextIO

import click


class ProgressBars:
    """A `Watch` that draws a bar for each task while its block lasts.

    Nothing is written where the stream (standard error, which leaves the report of a load alone) is no
    terminal.
    """

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = sys.stderr if stream is None else stream
        self._open = ExitStack()
        self._bar: Any = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._open.close()

    def start(self, task: str, rows: int) -> None:
        """Leave the bar before as it stands, and draw one of a new task on the next line."""
        self._open.close()
        if self._stream.isatty():
            bar: Any = click.progressbar(length=rows, label=task, file=self._stream, show_pos=True)
            self._bar = self._open.enter_context(bar)

    def advance(self, rows: int) -> None:
        """Move the bar on."""
        if self._bar is not None:
            self._bar.update(rows)
