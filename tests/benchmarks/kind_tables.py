"""The sizes of each kind, of a catalogue folder or of a database, as the rules take them; their groups."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from pathlib import Path

import attrs

from api.database import open_embedded
from api.exchange.catalogue import Catalogue
from api.exchange.read_catalogue import read_catalogue
from api.matching.index.index_rows import read_kind
from api.matching.kind_models import kind_model
from api.matching.model import DimensionModel, KindModel
from api.matching.sizes.grouping import Grouping
from api.matching.sizes.size_table import SizeTable
from api.matching.store import kind_codes, stored_kind
from api.measurement.instrument_data import read_instruments
from api.measurement.instruments import Instrument
from api.settings import DATABASE_FILE
from api.travelling import travelling
from api.wear_parts.entries import KindEntry, SizeEntry, SizeValueEntry
from tests.size_rows import DOES_NOT_APPLY, SizeRow, SizeValue, build_size_table
from tests.whole_tables import group_sizes

SEED_FOLDER = travelling("seed_catalog")


@attrs.frozen(kw_only=True, eq=False)
class KindTable:
    """One kind: its model, its sizes, their groups."""

    model: KindModel
    table: SizeTable
    grouping: Grouping


def read_kind_tables(folder: Path = SEED_FOLDER) -> dict[str, KindTable]:
    """Return the kinds of a catalogue folder by code; raises `CatalogueRefused` as `read_catalogue`."""
    return kind_tables(read_catalogue(folder))


def kind_tables(catalogue: Catalogue) -> dict[str, KindTable]:
    """Return the kinds of a catalogue by code, each size with as many listings as its parts have."""
    size_of_part = {(part.maker, part.number): part.size for part in catalogue.parts}
    listings = Counter(size_of_part[one.maker, one.number] for one in catalogue.listings)
    sizes: dict[str, list[SizeEntry]] = defaultdict(list)
    for entry in catalogue.sizes:
        sizes[entry.kind].append(entry)
    found = {}
    for kind in sorted(catalogue.kinds, key=lambda one: one.code):
        model = _model(kind)
        table = build_size_table(model, _rows(sizes[kind.code], listings))
        found[kind.code] = KindTable(model=model, table=table, grouping=group_sizes(model, table))
    return found


def stored_kind_tables(folder: Path) -> dict[str, KindTable]:
    """Return the kinds of the embedded database in a data folder by code; raises `FileNotFoundError`."""
    file = folder / DATABASE_FILE
    if not file.is_file():
        raise FileNotFoundError(file)
    database = open_embedded(file)
    found = {}
    with database.read() as reads:
        for code in kind_codes(reads):
            stored = stored_kind(reads, code)
            assert stored is not None, code
            model = kind_model(stored)
            table = read_kind(reads, model).table
            found[code] = KindTable(model=model, table=table, grouping=group_sizes(model, table))
    database.close()
    return found


def read_instrument(code: str) -> Instrument:
    """Return one of the instruments that travel with the package; raises `KeyError`."""
    return read_instruments((SEED_FOLDER / "instruments.toml").read_text("utf-8"))[code]


def _model(kind: KindEntry) -> KindModel:
    return KindModel(
        kind=kind.code,
        version=kind.model_version,
        unlisted_prior=kind.unlisted_prior,
        dimensions=tuple(
            DimensionModel(
                code=one.code,
                measure=one.measure,
                how=one.how,
                wear_sense=one.wear_sense,
                wear_scale_nm=one.wear_scale_nm or 0,
                span_lower=one.span_lower or 0,
                span_upper=one.span_upper or 0,
                choices=tuple(choice.value for choice in one.choices),
                slip_chance=one.slip_chance,
                miscount_chance=one.miscount_chance,
                two_point_over=one.two_point_over,
            )
            for one in kind.dimensions
        ),
    )


def _rows(sizes: Iterable[SizeEntry], listings: Counter[str]) -> Iterable[SizeRow]:
    for size in sizes:
        values = {one.dimension: _value(one) for one in size.values}
        yield SizeRow(code=size.code, values=values, listings=listings[size.code])


def _value(entry: SizeValueEntry) -> SizeValue:
    if not entry.applies:
        return DOES_NOT_APPLY
    if entry.lower_nm is not None and entry.upper_nm is not None:
        return entry.lower_nm, entry.upper_nm
    value = entry.count if entry.count is not None else entry.choice
    assert value is not None, f"{entry.dimension} states nothing"
    return value
