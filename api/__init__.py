"""Startwright: the wear part that fits a worn cranking starter, by its measured size."""

from typing import Final

__version__: Final = "0.1.0"
