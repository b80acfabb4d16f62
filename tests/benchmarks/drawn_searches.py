"""Searches of a workshop against a loaded catalogue: parts in hand, drawn and read as in the calibration.

Each is one worn part, read by digital caliper to 0.01 mm: a kind (all in turn), some of its dimensions in
random order, every surface that can wear worn, now and then a slip or a part that nobody lists (see
`simulated_parts`). They are written as a query and as a body, so that whoever answers them reads them first.
"""

from collections.abc import Iterable, Mapping
from typing import Any
from urllib.parse import urlencode

import attrs
import numpy as np

from api.database import Database
from api.matching.index.index_rows import read_kind
from api.matching.kind_models import kind_model
from api.matching.model import KindModel
from api.matching.readings import AbsentReading, ChoiceReading, CountReading, Reading
from api.matching.sizes.size_table import SizeTable
from api.matching.store import kind_codes, stored_kind
from api.measurement.readings import DEFAULT_INSTRUMENT
from tests.benchmarks.kind_tables import read_instrument
from tests.benchmarks.simulated_parts import PartDrawer, World

MIXES = {"workshop": (1, 5), "selective": (3, 5)}
"""The fewest and the most readings of a search of each mix; each number is drawn as often."""
NM_PER_CALIPER_STEP = 10_000


@attrs.frozen
class DrawnSearch:
    """A kind, what was read, in words, by dimension (counts are numbers), and the most parts wanted."""

    kind: str
    told: Mapping[str, str | int]
    limit: int | None = None

    @property
    def options(self) -> dict[str, int]:
        """Return what is asked beside the readings."""
        return {} if self.limit is None else {"limit": self.limit}

    @property
    def query(self) -> str:
        """Return the readings as parameters of a query."""
        return urlencode({**self.told, **self.options})

    @property
    def target(self) -> str:
        """Return path and query of the search by GET."""
        return f"/v1/matches/{self.kind}?{self.query}"

    @property
    def body(self) -> dict[str, Any]:
        """Return the search as one of a body's."""
        return {"kind": self.kind, "readings": dict(self.told), **self.options}


@attrs.frozen(eq=False)
class KindOfDatabase:
    """A kind as stored: its model, its current sizes, and the row of the size of each current part."""

    model: KindModel
    table: SizeTable
    parts_of: np.ndarray[tuple[int], np.dtype[np.int64]]


def read_kinds(database: Database) -> dict[str, KindOfDatabase]:
    """Return every kind of a database by code."""
    found = {}
    with database.read() as reads:
        for code in kind_codes(reads):
            stored = stored_kind(reads, code)
            assert stored is not None
            model = kind_model(stored)
            rows = read_kind(reads, model)
            found[code] = KindOfDatabase(model, rows.table, rows.parts_of)
    return found


def draw_searches(
    kinds: Mapping[str, KindOfDatabase], mix: str, count: int, seed: int = 2026, limit: int | None = None
) -> list[DrawnSearch]:
    """Return that many searches of a mix of `MIXES`; the same seed draws the same."""
    tool = read_instrument(DEFAULT_INSTRUMENT)
    rng = np.random.default_rng(seed)
    drawers = [
        PartDrawer(World(kind=kind.model, instrument=tool), kind.table, rng)
        for kind in kinds.values()
        if len(kind.table)
    ]
    fewest, most = MIXES[mix]
    found = []
    for place in range(count):
        drawer = drawers[place % len(drawers)]
        read = drawer.draw().readings
        chosen = rng.permutation(list(read))[: rng.integers(fewest, most + 1)]
        told = in_words(read[str(code)] for code in chosen)
        found.append(DrawnSearch(drawer.world.kind.kind, told, limit))
    return found


def in_words(readings: Iterable[Reading]) -> dict[str, str | int]:
    """Return readings as a clerk types them, lengths in millimetres to the caliper's step."""
    told: dict[str, str | int] = {}
    for reading in readings:
        match reading:
            case AbsentReading():
                told[reading.dimension] = "absent"
            case CountReading():
                told[reading.dimension] = reading.count
            case ChoiceReading():
                told[reading.dimension] = reading.choice
            case _:
                steps = max(round(reading.value_nm / NM_PER_CALIPER_STEP), 1)
                told[reading.dimension] = f"{steps // 100}.{steps % 100:02d}mm"
    return told
