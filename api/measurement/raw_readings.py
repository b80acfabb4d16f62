"""Readings as they came in, nothing checked yet, and the faults of what holds for all of them."""

from collections.abc import Mapping
from typing import Literal, get_args

import attrs

from api.errors import FieldFault, shown
from api.measurement.instruments import Instrument
from api.measurement.refusals import UnreadableLength, nearest_name
from api.measurement.units import parse_unit

Surface = Literal["worn", "unworn"]
"""Whether the measured surface has been rubbed on."""

State = Literal["free", "installed"]
"""Whether the part was measured out of its seat or in it."""

SURFACES: tuple[Surface, ...] = get_args(Surface)
STATES: tuple[State, ...] = get_args(State)

Path = tuple[str | int, ...]


@attrs.frozen
class RawReading:
    """One reading of one length, in raw text.

    `text` is the value; `repeats` are further readings of the same feature, beside `text` or, where
    `text` is None, instead of it. `uncertainty` is the caller's own standard uncertainty, as a
    length. What is None falls back on the `RawSetup`. `is_plain` tells that the reading came as a
    bare text, so that faults point at it and not at a member `text`.
    """

    text: str | None
    instrument: str | None = None
    uncertainty: str | None = None
    repeats: tuple[str, ...] = ()
    surface: str | None = None
    state: str | None = None
    is_plain: bool = False

    @classmethod
    def of_text(cls, text: str) -> "RawReading":
        """Return the raw reading of a bare text, such as a query parameter's."""
        return cls(text, is_plain=True)


@attrs.frozen
class RawSetup:
    """What holds for all readings of one search unless a reading says otherwise, in raw text.

    `instrument` None means that none was named: a digital caliper is assumed. `unit` is the default
    unit, None where each reading has to state its own.
    """

    instrument: str | None = None
    unit: str | None = None
    surface: str = "worn"
    state: str = "free"


def check_setup(setup: RawSetup, instruments: Mapping[str, Instrument], root: Path = ()) -> list[FieldFault]:
    """Return the faults of a setup, each at `root` and `instrument`, `unit`, `surface` or `state`.

    Codes: `unknown`, and for the unit those of `parse_unit`.
    """
    found = [
        check_word(setup.surface, SURFACES, (*root, "surface")),
        check_word(setup.state, STATES, (*root, "state")),
    ]
    if setup.instrument is not None:
        found.append(check_word(setup.instrument, tuple(instruments), (*root, "instrument")))
    if setup.unit is not None:
        try:
            parse_unit(setup.unit)
        except UnreadableLength as refused:
            found.append(refused.as_fault(*root, "unit"))
    return [fault for fault in found if fault is not None]


def check_word(word: str, known: tuple[str, ...], path: Path) -> FieldFault | None:
    """Return the fault (code `unknown`) of a word that is none of `known`, or None."""
    if word in known:
        return None
    echoed = shown(word)
    return FieldFault(path, echoed, f"one of {', '.join(known)}", "unknown", nearest_name(echoed, known))
