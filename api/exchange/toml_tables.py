"""A TOML file of a catalogue: its values, and where each stands."""

import re
import tomllib
from decimal import Decimal
from functools import cached_property
from typing import Any

from api.errors import FieldFault, shown
from api.exchange.catalogue_faults import CatalogueFault
from api.exchange.source_text import Place, SourceText
from api.exchange.toml_positions import find_positions

_SAID_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


class TomlDocument:
    """The values of a TOML file; decimals are exact `Decimal`s."""

    def __init__(self, source: SourceText, values: dict[str, Any]) -> None:
        self.source = source
        self.values = values

    @cached_property
    def _positions(self) -> dict[tuple[str | int, ...], int]:
        return find_positions(self.source.text)

    def place(self, path: tuple[str | int, ...]) -> Place:
        """Return where the value of a path stands; where it is absent, where its table begins."""
        while path and path not in self._positions:
            path = path[:-1]
        return self.source.place_of(self._positions.get(path, 0))

    def fault(self, fault: FieldFault) -> CatalogueFault:
        """Return a rule's fault, whose path leads from the document's root, with its place."""
        return self.source.fault(self.place(fault.path), fault)


def read_toml(source: SourceText) -> TomlDocument | CatalogueFault:
    """Return the document of a file, or the fault of its form (code `bad_toml`).

    Duplicate keys are such a fault.
    """
    text = source.text.replace("\r\n", "\n")
    source = SourceText(source.name, text)
    try:
        return TomlDocument(source, tomllib.loads(text, parse_float=Decimal))
    except (ValueError, ArithmeticError, RecursionError) as failure:  # TOMLDecodeError is a ValueError
        said = str(failure)
        told = _SAID_PLACE.search(said)
        place = Place(1, 1)
        if told:
            place = Place(int(told[1]), int(told[2])) if told[1] else source.place_of(len(text))
        reason = _SAID_PLACE.sub("", said)
        return source.fault(place, FieldFault((), shown(reason), "a document of TOML 1.0", "bad_toml"))
