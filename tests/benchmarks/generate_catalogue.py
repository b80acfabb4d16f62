"""Write a large, wholly invented catalogue into a folder, to measure the service on.

Two shapes. `clustered`: makers share standard sizes, some sizes are far commoner than others, and some miss
a standard size by tenths of a millimetre, as on real shelves. `own-sizes`: a worst case, nearly every part
has a size of its own. The same seed writes the same files. Rows are written as they are drawn: memory grows
with the number of sizes that are shared, not with the number of parts.
Run from the checkout: `python -m tests.benchmarks.generate_catalogue FOLDER --parts 100000`.
"""

import csv
import random
import shutil
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator
from contextlib import ExitStack
from itertools import accumulate
from pathlib import Path
from typing import Any

import attrs
import click
from stdnum import ean

from tests.benchmarks.generate_draws import Draws
from tests.benchmarks.generate_families import draw_families
from tests.benchmarks.generate_sizes import DRAW, DrawnSize

SEED_CATALOGUE = Path(__file__).resolve().parents[2] / "seed_catalog"
SHARES = {"bushing": 0.35, "contact": 0.25, "brush_set": 0.2, "drive_clutch": 0.2}
"""How many of the parts are of a kind (our judgement)."""
NEAR_MISSES = 0.15
FEWEST_PARTS = 200
"""Of fewer, a form that every family needs (a disc, say) may not be drawn at all."""
OWN = 0.97
"""How many parts of the worst case have a size of their own."""
KEPT_SIZES = 4_000
"""Sizes of a kind that the worst case keeps in memory, to draw families and shared sizes from."""

COLUMNS = {
    "makers": "code name",
    "suppliers": "code name place currency shipping free_shipping_from",
    "parts": "maker number kind size description material grade voltage provenance",
    "starters": "maker number family description",
    "listings": "family position maker number",
    "numbers": "owner maker number scheme issuer written",
    "supersessions": "maker old_number new_maker new_number on",
    "offers": "supplier number item maker item_number condition price currency pack_size minimum_quantity "
    "core_deposit warranty_months lead_time_days stock valid_from valid_until",
}
PROVENANCES = ("catalogue", "drawing", "measured")


@attrs.frozen
class Plan:
    """How much of each noun a catalogue of so many parts has; standard sizes grow slower than parts."""

    parts: int
    own_sizes: bool
    seed: int

    @property
    def makers(self) -> int:
        """Makers: about 40 for 10,000 parts, 250 for a million."""
        return max(3, round(self.parts**0.4))

    @property
    def families(self) -> int:
        """Families: 50 for 10,000 parts, 500 for a million."""
        return max(3, round(self.parts**0.5 / 2))

    @property
    def suppliers(self) -> int:
        """Suppliers: 10 for 10,000 parts, 32 for a million."""
        return max(3, round(self.parts**0.25))

    def parts_of(self, kind: str) -> int:
        """Parts of one kind, 4 at least."""
        return max(4, round(self.parts * SHARES[kind]))

    def sizes_of(self, kind: str) -> int:
        """Sizes of one kind: about 2,400 of all kinds for 10,000 parts, 42,000 for a million."""
        if self.own_sizes:
            return max(4, round(self.parts_of(kind) * OWN))
        return min(self.parts_of(kind), max(4, round(8 * self.parts**0.62 * SHARES[kind])))


def write_catalogue(folder: Path, plan: Plan) -> dict[str, int]:
    """Write the files of a catalogue into `folder`, which is made; return the rows written, by noun."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in ("kinds", "sizes", "families"):
        (folder / name).mkdir(exist_ok=True)
    for kind in SHARES:
        shutil.copy(SEED_CATALOGUE / "kinds" / f"{kind}.toml", folder / "kinds")
    for name in ("labour", "shop_terms", "lives", "usage"):
        shutil.copy(SEED_CATALOGUE / f"{name}.csv", folder)
    with ExitStack() as stack:
        return _Writer(folder, plan, stack).write()


class _Writer:
    """The open files of a catalogue, and what has to be remembered from one row to a later one."""

    def __init__(self, folder: Path, plan: Plan, stack: ExitStack) -> None:
        self._folder, self._plan, self._stack = folder, plan, stack
        self._source = random.Random(plan.seed)
        self._draws = Draws(self._source, plan.own_sizes)
        self._usual = Draws(self._source)
        self._counts: dict[str, int] = defaultdict(int)
        self._files = {name: self._open(name, columns.split()) for name, columns in COLUMNS.items()}
        self._listed: dict[tuple[str, int], list[tuple[str, str]]] = defaultdict(list)
        self._latest: dict[str, tuple[str, str]] = {}

    def write(self) -> dict[str, int]:
        plan = self._plan
        for serial in range(1, plan.makers + 1):
            self._row("makers", f"syn-{serial}", f"Synthetic {serial}")
        for serial in range(1, plan.suppliers + 1):
            self._row(
                "suppliers", f"synsup-{serial}", f"Synthetic supplier {serial}", "Nowhere", "USD", "9.50", ""
            )
        kept = {kind: self._write_sizes(kind) for kind in SHARES}
        self._write_families(kept)
        for kind, sizes in kept.items():
            self._write_parts(kind, len(sizes))
        return dict(self._counts)

    def _open(self, name: str, columns: list[str]) -> Any:
        file = self._stack.enter_context(
            (self._folder / f"{name}.csv").open("w", encoding="utf-8", newline="")
        )
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(columns)
        return writer

    def _row(self, name: str, *cells: object) -> None:
        self._files[name].writerow(cells)
        self._counts[name] += 1

    def _write_sizes(self, kind: str) -> list[DrawnSize]:
        """Write the sizes of a kind; return those that families and shared parts are drawn from."""
        kept: list[DrawnSize] = []
        met: set[Any] = set()
        dimensions: list[str] = []
        file: Any = None
        wanted = self._plan.sizes_of(kind)
        for serial in range(wanted):
            size = self._distinct(kind, met)
            if file is None:
                dimensions = sorted(size.cells)
                file = self._open(f"sizes/{kind}", ["code", *dimensions, "provenance"])
            if not self._plan.own_sizes or len(kept) < KEPT_SIZES:
                kept.append(size)
            else:
                met.clear()  # of lengths drawn freely hardly two are the same, and two may be
            values = (size.cells[dimension] for dimension in dimensions)
            file.writerow((_size_code(kind, serial), *values, self._source.choice(PROVENANCES)))
            self._counts["sizes"] += 1
        return kept

    def _distinct(self, kind: str, met: set[Any]) -> DrawnSize:
        near = self._source.random() < NEAR_MISSES
        while True:
            size = DRAW[kind](self._draws, near)
            if size.same not in met:
                met.add(size.same)
                return size
            near = True  # the usual combinations are taken: one beside them

    def _write_families(self, kept: dict[str, list[DrawnSize]]) -> None:
        sizes, names = [], []
        for kind, of_kind in kept.items():
            sizes += of_kind
            names += [(kind, place) for place in range(len(of_kind))]
        tables: dict[str, list[str]] = defaultdict(list)
        for family in draw_families(self._plan.families, sizes, self._usual):
            tables[family.construction].append(family.toml)
            for position, places in family.sizes.items():
                for place in places:
                    self._listed[names[place]].append((family.code, position))
            for number in range(3):
                maker = f"syn-{1 + self._source.randrange(self._plan.makers)}"
                written = f"SU {family.code[5:]}-{number}"
                self._row("starters", maker, written, family.code, "Synthetic starter")
                self._write_offer("starter", maker, written, 180, 1)
        for construction, written in tables.items():
            (self._folder / "families" / f"{construction}.toml").write_text("".join(written), "utf-8")

    def _write_parts(self, kind: str, kept: int) -> None:
        """Write the parts of a kind and what refers to them: each size once, then sizes by use."""
        sizes = self._plan.sizes_of(kind)
        use = list(accumulate(1 / (rank + 20) ** 0.95 for rank in range(kept)))
        for serial in range(self._plan.parts_of(kind)):
            size = serial if serial < sizes else bisect_left(use, self._source.random() * use[-1])
            maker_serial = 1 + int(self._plan.makers * self._source.random() ** 2)
            self._write_part(
                kind, size, f"syn-{maker_serial}", f"S{_letter(kind)}{maker_serial}-{serial:07d}"
            )

    def _write_part(self, kind: str, size: int, maker: str, number: str) -> None:
        source = self._source
        code = _size_code(kind, size)
        voltage = "12" if kind == "brush_set" else ""
        self._row(
            "parts", maker, number, kind, code, f"Synthetic {kind} {size}", "", "", voltage,
            source.choice(PROVENANCES),
        )  # fmt: skip
        for family, position in self._fitting(kind, size):
            self._row("listings", family, position, maker, number)
        if source.random() < 0.4:
            written = f"SX {_letter(kind)}{size:06d}"
            self._row("numbers", "part", maker, number, "aftermarket", "Synthetic cross reference", written)
        if source.random() < 0.1:
            digits = f"20{self._counts['parts']:010d}"
            self._row("numbers", "part", maker, number, "gtin", "", digits + ean.calc_check_digit(digits))
        if source.random() < 0.005 and code in self._latest:
            self._row("supersessions", *self._latest.pop(code), maker, number, "2025-06-01")
        self._latest[code] = (maker, number)
        for offer in range(source.choice((0, 1, 1, 2))):
            self._write_offer("part", maker, number, 14, offer)

    def _fitting(self, kind: str, size: int) -> Iterator[tuple[str, str]]:
        """Yield up to three positions for which a size's part is listed; a part may be listed for none."""
        positions = self._listed.get((kind, size), ())
        if not positions:
            return
        start = self._source.randrange(len(positions))
        count = self._source.randint(1, 3)
        yield from dict.fromkeys(positions[start : start + count])

    def _write_offer(self, item: str, maker: str, number: str, usual: float, place: int) -> None:
        """Write an offer; the offers of one item, told apart by `place`, are of different suppliers."""
        source = self._source
        serial = self._counts["offers"]
        supplier = 1 + (serial // 7 + place) % self._plan.suppliers
        price = usual * (0.4 + 3 * source.random() ** 3)
        until = "" if source.random() < 0.8 else "2027-12-31"
        self._row(
            "offers", f"synsup-{supplier}", f"O{serial:08d}", item, maker, number, "new", f"{price:.2f}",
            "USD", 1, 1, "0.00", source.choice((12, 24)), source.randint(1, 14), source.randint(0, 99),
            "2026-01-05", until,
        )  # fmt: skip


def _letter(kind: str) -> str:
    return {"bushing": "B", "contact": "C", "brush_set": "K", "drive_clutch": "D"}[kind]


def _size_code(kind: str, serial: int) -> str:
    return f"syn-{_letter(kind).lower()}-{serial:07d}"


@click.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--parts", default=10_000, show_default=True, type=click.IntRange(FEWEST_PARTS, 10_000_000))
@click.option(
    "--shape", default="clustered", show_default=True, type=click.Choice(("clustered", "own-sizes"))
)
@click.option("--seed", default=1, show_default=True)
def main(folder: Path, parts: int, shape: str, seed: int) -> None:
    """Write an invented catalogue into FOLDER."""
    counts = write_catalogue(folder, Plan(parts, shape == "own-sizes", seed))
    click.echo(", ".join(f"{count} {noun}" for noun, count in counts.items()))


if __name__ == "__main__":
    main()
