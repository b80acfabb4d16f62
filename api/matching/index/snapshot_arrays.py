"""The arrays of an index and its shelf by the names of the files that a snapshot keeps them in. Pure."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from api.matching.columns.bulk import Bulk, PartColumns
from api.matching.columns.size_blocks import BlockBounds, SizeBlocks
from api.matching.columns.size_columns import Entries, SizeColumns
from api.matching.columns.text_column import TextColumn
from api.matching.index.shelf import Coded, OfferColumns, Shelf
from api.matching.model import KindModel
from api.matching.sizes.size_table import Column, SizeTable

Array = NDArray[Any]


def arrays_of_bulk(bulk: Bulk) -> dict[str, Array]:
    """Return the arrays of a bulk by the names of their files."""
    held = bulk.columns
    arrays: dict[str, Array] = {
        "size-ids": bulk.size_ids,
        **_texts("name", bulk.names),
        "founder": bulk.founder,
        "block": bulk.block,
        "listings": held.listings,
        "rank": held.rank,
        **_texts("key", bulk.parts.keys),
        "parts-start": bulk.parts.start,
        "parts-ids": bulk.parts.ids,
        "parts-rank": bulk.parts.rank,
        "parts-listings": bulk.parts.listings,
        "parts-greatest": bulk.parts.greatest,
        "total-weight": np.array([held.total_weight]),
    }
    for code, codes in held.codes.items():
        bounds, entries = held.blocks.bounds[code], held.entries[code]
        arrays |= {
            f"{code}-codes": codes,
            f"{code}-least": bounds.least,
            f"{code}-greatest": bounds.greatest,
            f"{code}-open": bounds.is_open,
            f"{code}-weight": entries.weight,
            f"{code}-spread": np.array([entries.widest, entries.least_factor]),
        }
        for name, column in entries.table.columns.items():
            arrays |= {
                f"{code}-entry-{name}-lower": column.lower,
                f"{code}-entry-{name}-upper": column.upper,
                f"{code}-entry-{name}-state": column.state,
            }
    return arrays


def bulk_of(model: KindModel, found: Mapping[str, Array]) -> Bulk:
    """Return the bulk whose arrays those are; raises `KeyError` where one is missing."""
    codes = {one.code: found[f"{one.code}-codes"] for one in model.dimensions}
    entries = {}
    for one in model.dimensions:
        names = [one.code, *([] if one.two_point_over is None else [one.two_point_over])]
        weight, (widest, least) = found[f"{one.code}-weight"], found[f"{one.code}-spread"]
        table = SizeTable(
            codes=(),
            listings=np.zeros(len(weight), dtype=np.int64),
            columns={
                name: Column(
                    lower=found[f"{one.code}-entry-{name}-lower"],
                    upper=found[f"{one.code}-entry-{name}-upper"],
                    state=found[f"{one.code}-entry-{name}-state"],
                )
                for name in names
            },
        )
        entries[one.code] = Entries(
            dimension=one.code, table=table, weight=weight, widest=int(widest), least_factor=float(least)
        )
    bounds = {
        code: BlockBounds(
            least=found[f"{code}-least"], greatest=found[f"{code}-greatest"], is_open=found[f"{code}-open"]
        )
        for code in codes
    }
    return Bulk(
        columns=SizeColumns(
            codes=codes,
            entries=entries,
            listings=found["listings"],
            rank=found["rank"],
            blocks=SizeBlocks(bounds=bounds, sizes=len(found["listings"])),
            total_weight=float(found["total-weight"][0]),
        ),
        size_ids=found["size-ids"],
        names=_text_column(found, "name"),
        founder=found["founder"],
        block=found["block"],
        parts=PartColumns(
            keys=_text_column(found, "key"),
            start=found["parts-start"],
            ids=found["parts-ids"],
            rank=found["parts-rank"],
            listings=found["parts-listings"],
            greatest=found["parts-greatest"],
        ),
    )


_OF_OFFERS = (
    "start",
    "condition",
    "price",
    "packs",
    "pack_size",
    "minimum",
    "lead",
    "stock",
    "first",
    "last",
)
_CODED_OF_OFFERS = ("supplier", "currency")
_OF_SHELF = ("rests_on", "replaced", "replacements")
_CODED_OF_SHELF = ("descriptions", "facts")


def arrays_of_shelf(shelf: Shelf) -> dict[str, Array]:
    """Return the arrays of a shelf by the names of their files."""
    offers = shelf.offers
    arrays = {f"shelf-{name}": getattr(shelf, name) for name in _OF_SHELF}
    arrays |= {f"offers-{name}": getattr(offers, name) for name in _OF_OFFERS}
    arrays |= _texts("shelf-makers", shelf.makers) | _texts("shelf-maker-names", shelf.maker_names)
    arrays |= _texts("offers-numbers", offers.numbers)
    for name in _CODED_OF_SHELF:
        arrays |= _coded(f"shelf-{name}", getattr(shelf, name))
    for name in _CODED_OF_OFFERS:
        arrays |= _coded(f"offers-{name}", getattr(offers, name))
    for code in shelf.provenance:
        arrays |= {f"{code}-provenance": shelf.provenance[code], f"{code}-knowledge": shelf.knowledge[code]}
    return arrays


def shelf_of(model: KindModel, found: Mapping[str, Array]) -> Shelf:
    """Return the shelf whose arrays those are; raises `KeyError` where one is missing."""
    codes = [one.code for one in model.dimensions]
    of_offers: dict[str, Any] = {name: found[f"offers-{name}"] for name in _OF_OFFERS}
    of_offers |= {name: _coded_column(found, f"offers-{name}") for name in _CODED_OF_OFFERS}
    of_shelf: dict[str, Any] = {name: found[f"shelf-{name}"] for name in _OF_SHELF}
    of_shelf |= {name: _coded_column(found, f"shelf-{name}") for name in _CODED_OF_SHELF}
    return Shelf(
        **of_shelf,
        makers=_text_column(found, "shelf-makers"),
        maker_names=_text_column(found, "shelf-maker-names"),
        offers=OfferColumns(**of_offers, numbers=_text_column(found, "offers-numbers")),
        provenance={code: found[f"{code}-provenance"] for code in codes},
        knowledge={code: found[f"{code}-knowledge"] for code in codes},
    )


def _texts(name: str, texts: TextColumn) -> dict[str, Array]:
    return {f"{name}-ends": texts.ends, f"{name}-bytes": texts.utf8}


def _text_column(found: Mapping[str, Array], name: str) -> TextColumn:
    return TextColumn(found[f"{name}-ends"], found[f"{name}-bytes"])


def _coded(name: str, column: Coded) -> dict[str, Array]:
    return {**_texts(name, column.texts), f"{name}-codes": column.codes}


def _coded_column(found: Mapping[str, Array], name: str) -> Coded:
    return Coded(_text_column(found, name), found[f"{name}-codes"])
