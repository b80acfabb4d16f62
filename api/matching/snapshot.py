"""Snapshots of the index of a great kind: arrays in files beside the database, mapped into memory.

A snapshot is a folder named after the state of the catalogue that it was made of; it is written beside and
moved into place whole. Opening one maps its files, which every process of the machine shares. Whatever does
not belong to the present state is passed over, and removed when a new one is saved.
"""

import hashlib
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

import attrs
import msgspec
import numpy as np
from sqlalchemy import func, select

from api.access.tables import AuditEntry
from api.columns import columns
from api.database import ReadSession
from api.matching.bulk import Bulk, PartColumns
from api.matching.model import KindModel
from api.matching.size_blocks import BlockBounds, SizeBlocks
from api.matching.size_columns import Entries, SizeColumns
from api.matching.sizes import Column, SizeTable
from api.wear_parts.tables import Part, Size

LAYOUT: Final = 2
"""Number of the layout of the files; to be raised whenever it or an order in it changes."""

_entry, _part, _size = columns(AuditEntry), columns(Part), columns(Size)


def state_of(reads: ReadSession, model: KindModel, version: int) -> str:
    """Return what tells this state of a kind from every other, of this database and of others.

    The version alone would not: a copy that was put back counts on from where it was.
    """
    row = reads.first(
        select(
            select(func.max(_size.id)).scalar_subquery(),
            select(func.max(_part.id)).scalar_subquery(),
            select(func.max(_entry.id)).scalar_subquery(),
            select(func.count()).select_from(Size).scalar_subquery(),
            select(func.count()).select_from(Part).scalar_subquery(),
        )
    )
    told = (LAYOUT, version, list(row or ()), attrs.asdict(model))
    return hashlib.sha256(msgspec.json.encode(told)).hexdigest()[:32]


def save_snapshot(folder: Path, model: KindModel, state: str, bulk: Bulk) -> None:
    """Write the arrays of a kind; another process that did so at the same time is left alone."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    place = folder / f"{model.kind}-{state}"
    with tempfile.TemporaryDirectory(dir=folder, prefix=".writing-") as beside:
        whole = Path(beside) / "whole"
        whole.mkdir()
        for name, array in _arrays(bulk).items():
            np.save(whole / f"{name}.npy", array, allow_pickle=False)
        with suppress(OSError):
            whole.rename(place)
    for older in folder.glob(f"{model.kind}-*"):
        if older != place:
            shutil.rmtree(older, ignore_errors=True)


def open_snapshot(folder: Path, model: KindModel, state: str) -> Bulk | None:
    """Return the arrays of a kind as they were saved, or nothing where they are not whole."""
    place = folder / f"{model.kind}-{state}"
    try:
        # as plain arrays: the library's class for mapped ones makes each look at an element slow
        found = {
            file.stem: np.asarray(np.load(file, mmap_mode="r", allow_pickle=False))
            for file in place.glob("*.npy")
        }
        return _bulk(model, found) if found else None
    except (OSError, ValueError, KeyError):
        return None


def _arrays(bulk: Bulk) -> dict[str, Any]:
    held = bulk.columns
    arrays: dict[str, Any] = {
        "size-ids": bulk.size_ids,
        "name-ends": bulk.name_ends,
        "name-bytes": bulk.name_bytes,
        "founder": bulk.founder,
        "block": bulk.block,
        "listings": held.listings,
        "rank": held.rank,
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


def _bulk(model: KindModel, found: Mapping[str, Any]) -> Bulk:
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
        name_ends=found["name-ends"],
        name_bytes=found["name-bytes"],
        founder=found["founder"],
        block=found["block"],
        parts=PartColumns(
            start=found["parts-start"],
            ids=found["parts-ids"],
            rank=found["parts-rank"],
            listings=found["parts-listings"],
            greatest=found["parts-greatest"],
        ),
    )
