"""What to measure next, in words and on the wire."""

from collections.abc import Mapping
from typing import cast

import numpy as np

from api.matching.advice.next_reading import advise_next_reading
from api.matching.advice.split import SplitPart
from api.matching.answers.read_search import Search
from api.matching.index.candidate_index import IndexedKind
from api.matching.index.kind_index import Looking
from api.matching.model import DimensionModel, KindModel
from api.matching.shapes import Gain, NextReading, SplitAnswer
from api.matching.sizes.size_table import SizeTable
from api.measurement.instruments import Instrument, Way
from api.measurement.refusals import UnsuitableInstrument
from api.measurement.uncertainty import standard_uncertainty_nm
from api.wire.shapes import NM_PER_MM


def present_advice(
    indexed: IndexedKind, looking: Looking, search: Search, instruments: Mapping[str, Instrument]
) -> NextReading | None:
    """Return the reading that is expected to tell most with the instrument at hand, or nothing is left."""
    instrument = instruments[search.instrument]
    advice = advise_next_reading(
        indexed.model,
        looking.table,
        looking.posterior,
        looking.grouping,
        _uncertainties(indexed.model, looking, instrument),
        search.condition == "worn",
    )
    if advice is None:
        return None
    row = next(one for one in indexed.stored.dimensions if one.code == advice.dimension)
    return NextReading(
        dimension=advice.dimension,
        gain_bits=round(advice.gain_bits, 3),
        name=row.name,
        place=row.place,
        split=[_split_part(one) for one in advice.split],
        all=[Gain(dimension=one.dimension, gain_bits=round(one.gain_bits, 3)) for one in advice.all],
    )


def _uncertainties(kind: KindModel, looking: Looking, instrument: Instrument) -> dict[str, float]:
    """Return the standard uncertainty (nm) of the lengths that the instrument can measure.

    An instrument's permissible error depends on the length: that of the most probable size is taken,
    or the middle of the plausible span where that size does not record it.
    """
    found: dict[str, float] = {}
    best = int(np.argmax(looking.posterior.size_probability)) if len(looking.table) else None
    for dimension in kind.dimensions:
        if dimension.measure != "length":
            continue
        try:
            found[dimension.code] = standard_uncertainty_nm(
                instrument, cast(Way, dimension.how), [_expected_nm(looking.table, dimension, best)]
            )
        except UnsuitableInstrument:
            continue
    return found


def _expected_nm(table: SizeTable, dimension: DimensionModel, row: int | None) -> int:
    column = table.columns[dimension.code]
    if row is not None and column.is_recorded[row]:
        return int(column.lower[row] + column.upper[row]) // 2
    return (dimension.span_lower + dimension.span_upper) // 2


def _split_part(part: SplitPart) -> SplitAnswer:
    return SplitAnswer(
        group=part.group,
        chance=round(part.chance, 4),
        group_probability=round(part.group_probability, 4),
        from_mm=None if part.from_nm is None else round(part.from_nm / NM_PER_MM, 3),
        to_mm=None if part.to_nm is None else round(part.to_nm / NM_PER_MM, 3),
        value="absent" if part.absent else None if part.value is None else str(part.value),
    )
