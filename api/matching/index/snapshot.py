"""Snapshots of the index of a great kind: arrays in files beside the database, mapped into memory.

A snapshot is a folder named after the state of the catalogue that it was made of; it is written beside, down
to the disk, and moved into place whole. Opening one compares the sums of its files and maps them; every
process of the machine shares them. What does not belong to the present state is passed over, and removed
when another is saved; what cannot be read is removed. A folder that others may write to is not used.
"""

import hashlib
import os
import shutil
import tempfile
import time
import zlib
from contextlib import suppress
from pathlib import Path
from typing import Final
from zipfile import BadZipFile

import attrs
import msgspec
import numpy as np
from sqlalchemy import select

from api.columns import columns
from api.database import ReadSession
from api.matching.columns.bulk import Bulk
from api.matching.index.shelf import Shelf
from api.matching.index.snapshot_arrays import arrays_of_bulk, arrays_of_shelf, bulk_of, shelf_of
from api.matching.model import KindModel
from api.wear_parts.tables import CatalogueState

LAYOUT: Final = 4
"""Number of the layout of the files; to be raised whenever it or an order in it changes."""
SUMS: Final = "sums.json"
_BEING_WRITTEN: Final = ".writing-"
_ABANDONED_SECONDS: Final = 3_600
_OTHERS_MAY_WRITE: Final = 0o022

_state = columns(CatalogueState)


def state_of(reads: ReadSession, model: KindModel) -> str | None:
    """Return what tells this state of a kind from every other, of this database or another; None if unknown.

    The version alone would not: a copy that was put back counts on from where it was.
    """
    row = reads.first(select(_state.version, _state.stamp))
    if row is None or row.stamp is None:
        return None
    told = (LAYOUT, row.version, row.stamp, attrs.asdict(model))
    return hashlib.sha256(msgspec.json.encode(told)).hexdigest()[:32]


def save_snapshot(folder: Path, model: KindModel, state: str, bulk: Bulk, shelf: Shelf) -> None:
    """Write the arrays of a kind; another process that did so at the same time is left alone."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not _is_ours(folder):
        return
    place = folder / f"{model.kind}-{state}"
    with tempfile.TemporaryDirectory(dir=folder, prefix=_BEING_WRITTEN) as beside:
        whole = Path(beside) / "whole"
        whole.mkdir()
        for name, array in (arrays_of_bulk(bulk) | arrays_of_shelf(shelf)).items():
            np.save(whole / f"{name}.npy", array, allow_pickle=False)
        sums = {file.name: _sum(file) for file in whole.iterdir()}
        (whole / SUMS).write_bytes(msgspec.json.encode(sums))
        for each in (*whole.iterdir(), whole):
            _settle(each)
        with suppress(OSError):
            whole.rename(place)
    for older in folder.glob(f"{model.kind}-*"):
        if older != place:
            shutil.rmtree(older, ignore_errors=True)
    for left in folder.glob(f"{_BEING_WRITTEN}*"):
        with suppress(OSError):
            if left.stat().st_mtime < time.time() - _ABANDONED_SECONDS:
                shutil.rmtree(left, ignore_errors=True)


def open_snapshot(folder: Path, model: KindModel, state: str) -> tuple[Bulk, Shelf] | None:
    """Return the arrays of a kind and its shelf as they were saved, or nothing where they are not whole."""
    place = folder / f"{model.kind}-{state}"
    if not place.is_dir() or not _is_ours(folder):
        return None
    try:
        sums = msgspec.json.decode((place / SUMS).read_bytes(), type=dict[str, int])
        if any(_sum(place / name) != told for name, told in sums.items()):
            raise ValueError("a file is not as it was written")
        # as plain arrays: the library's class for mapped ones makes each look at an element slow
        found = {
            Path(name).stem: np.asarray(np.load(place / name, mmap_mode="r", allow_pickle=False))
            for name in sums
        }
        return bulk_of(model, found), shelf_of(model, found)
    except (OSError, ValueError, KeyError, EOFError, BadZipFile, msgspec.MsgspecError):
        shutil.rmtree(place, ignore_errors=True)
        return None


def _sum(file: Path) -> int:
    return zlib.crc32(file.read_bytes())


def _settle(path: Path) -> None:
    """Have a file or a folder written to the disk."""
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def _is_ours(folder: Path) -> bool:
    """Return whether nobody else can put arrays into the folder."""
    told = folder.stat()
    return told.st_uid == os.geteuid() and not told.st_mode & _OTHERS_MAY_WRITE
