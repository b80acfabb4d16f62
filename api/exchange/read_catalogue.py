"""Read a catalogue folder: every file, every rule, all faults at once.

First every file is opened; what keeps one from being read (missing, not UTF-8, no TOML, an unknown
column) ends the reading there, since references into it cannot be judged. Then every entry is
checked, and a faulty entry still counts as known, so that one fault does not cause others.
"""

from functools import partial
from pathlib import Path

from api.errors import FieldFault
from api.exchange.catalogue import Catalogue
from api.exchange.catalogue_files import CatalogueFiles
from api.exchange.csv_rows import CsvRow
from api.exchange.opened_catalogue import KindOfPart, OpenedCatalogue, open_catalogue
from api.exchange.read_documents import read_families, read_kinds
from api.exchange.row_keys import NumberKey, TakenKeys, by
from api.exchange.shop_entries import check_labour, check_shop_terms
from api.exchange.usage_entries import check_life, check_usage
from api.exchange.watch import UNWATCHED, Watch
from api.offers.check_offer import check_offer, check_supplier
from api.offers.entries import OfferEntry
from api.offers.find_overlaps import find_overlaps
from api.starters.check_starter import check_listing, check_starter
from api.wear_parts.check_part import check_maker, check_number, check_part, check_supersession
from api.wear_parts.check_size import check_size
from api.wear_parts.entries import ItemKey, KindEntry, SizeEntry, SupersessionEntry
from api.wear_parts.supersessions import find_cycles


def read_catalogue(folder: Path, watch: Watch = UNWATCHED) -> Catalogue:
    """Return the catalogue that the files beneath `folder` state.

    `watch` is told of the rows of the CSV files. Raises `CatalogueRefused` with every fault found, each
    with its file, line and column.
    """
    files = CatalogueFiles(folder, watch)
    opened = open_catalogue(files)
    watch.start("Reading", opened.row_count)
    tables = opened.tables
    kinds = read_kinds(files, opened.kinds)
    kind_of_item = opened.kind_of_item()
    makers = {maker for (maker,) in opened.keys("makers", "code")}
    kinds_by_family = opened.kinds_by_family()
    kind_of_size = opened.kind_of_size()
    kind_of_part = KindOfPart(kind_of_item)
    kind_codes = {kind.code for kind in kinds} | set(opened.sizes)
    currencies = {
        row.cells["code"].strip(): row.cells["currency"].strip() for row in tables["suppliers"].rows
    }
    taken = TakenKeys()  # a maker's number names one part or one starter
    catalogue = Catalogue(
        kinds=kinds,
        makers=files.entries(tables["makers"], check_maker, by("code")),
        sizes=_read_sizes(files, opened, kinds),
        parts=files.entries(
            tables["parts"],
            lambda cells: check_part(cells, makers, kind_codes, kind_of_size),
            by("maker", "number", compared=True),
            taken,
        ),
        families=read_families(files, opened.families, kind_codes),
        starters=files.entries(
            tables["starters"],
            lambda cells: check_starter(cells, makers, kinds_by_family),
            by("maker", "number", compared=True),
            taken,
        ),
        listings=files.entries(
            tables["listings"],
            lambda cells: check_listing(cells, kinds_by_family, kind_of_part),
            by("family", "position", "maker", "number"),
        ),
        numbers=files.entries(
            tables["numbers"],
            lambda cells: check_number(cells, kind_of_item),
            NumberKey(("owner", "maker", "number", "scheme", "issuer", "written")),
        ),
        supersessions=_read_supersessions(files, opened, kind_of_item),
        suppliers=files.entries(tables["suppliers"], check_supplier, by("code")),
        offers=_read_offers(files, opened, currencies, kind_of_item),
        labour=files.entries(tables["labour"], check_labour, by("scope", "code")),
        shop_terms=files.entries(tables["shop_terms"], check_shop_terms, by("currency")),
        lives=files.entries(tables["lives"], check_life, by("scope", "code")),
        usage=files.entries(tables["usage"], check_usage, by("code", "currency")),
    )
    files.settle()
    return catalogue


def _read_sizes(
    files: CatalogueFiles, opened: OpenedCatalogue, kinds: tuple[KindEntry, ...]
) -> tuple[SizeEntry, ...]:
    """Return the sizes of the sound kinds: those of a faulty one cannot be judged."""
    sizes: list[SizeEntry] = []
    taken = TakenKeys()

    def check(kind: KindEntry, cells: dict[str, str]) -> SizeEntry:
        dimensions = {name: cell for name, cell in cells.items() if name not in ("code", "provenance")}
        return check_size(
            kind, {"code": cells["code"], "provenance": cells["provenance"], "dimensions": dimensions}
        )

    for kind in kinds:
        if kind.code in opened.sizes:
            table = opened.sizes[kind.code]
            sizes.extend(files.entries(table, partial(check, kind), by("code"), taken))
    return tuple(sizes)


def _read_supersessions(
    files: CatalogueFiles, opened: OpenedCatalogue, kind_of_item: dict[ItemKey, str | None]
) -> tuple[SupersessionEntry, ...]:
    """Return the supersessions: each number superseded once, no circles."""
    table = opened.tables["supersessions"]
    supersessions = files.entries(
        table, lambda cells: check_supersession(cells, kind_of_item), by("maker", "old_number")
    )
    replaced_by = {entry.old: entry.new for entry in supersessions}
    for cycle in find_cycles(replaced_by):
        circle = " -> ".join(f"{item.maker} {item.number}" for item in (*cycle, cycle[0]))
        fault = FieldFault(
            ("new_number",),
            cycle[1 % len(cycle)].number,
            f"a chain that ends, not the circle {circle}",
            "cycle",
        )
        row = next(
            row
            for row in table.rows
            if (row.cells["maker"].strip(), row.cells["old_number"].strip())
            == (cycle[0].maker, cycle[0].number)
        )
        files.row_fault(table, row, fault)
    return supersessions


def _read_offers(
    files: CatalogueFiles,
    opened: OpenedCatalogue,
    currencies: dict[str, str],
    kind_of_item: dict[ItemKey, str | None],
) -> tuple[OfferEntry, ...]:
    """Return the offers: of one supplier, item, condition and pack size one at most holds on a day."""
    table = opened.tables["offers"]
    offers = files.entries(
        table, lambda cells: check_offer(cells, currencies, kind_of_item), by("supplier", "number")
    )
    overlaps = [pair for pair in find_overlaps(offers) if pair[0].number != pair[1].number]
    if not overlaps:  # the same offer twice is a fault of its own
        return offers
    named = {(offer.supplier, offer.number) for pair in overlaps for offer in pair}
    rows: dict[tuple[str, str], CsvRow] = {}
    for row in table.rows:
        if not row.ragged:
            key = (row.cells["supplier"].strip(), row.cells["number"].strip())
            if key in named:
                rows.setdefault(key, row)
    for later, earlier in overlaps:
        before = rows[(earlier.supplier, earlier.number)]
        expected = (
            f"a day on which the offer {earlier.number} of the same item, condition and pack size "
            f"no longer holds (it is at {table.source.name}:{before.line}"
            f"{f', until {earlier.valid_until}' if earlier.valid_until else ', without an end'})"
        )
        fault = FieldFault(("valid_from",), later.valid_from, expected, "overlapping_validity")
        files.row_fault(table, rows[(later.supplier, later.number)], fault)
    return offers
