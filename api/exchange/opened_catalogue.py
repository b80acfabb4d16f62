"""The files of a catalogue, opened: rows and tables not yet checked, and the keys they state.

Keys are taken from what is written, whether or not the entry is sound, so that a fault in one entry
does not make every reference to it a fault too.
"""

from collections.abc import Iterator, Mapping
from pathlib import PurePosixPath
from sys import intern
from typing import Any

import attrs

from api.exchange.catalogue_files import CatalogueFiles
from api.exchange.csv_rows import CsvTable
from api.exchange.shop_entries import LABOUR_FIELDS, SHOP_TERMS_FIELDS
from api.exchange.source_text import SourceText
from api.exchange.toml_tables import TomlDocument
from api.exchange.usage_entries import LIFE_FIELDS, USAGE_FIELDS
from api.offers.check_offer import OFFER_FIELDS, SUPPLIER_FIELDS
from api.starters.check_starter import LISTING_FIELDS, STARTER_FIELDS
from api.wear_parts.check_part import MAKER_FIELDS, NUMBER_FIELDS, PART_FIELDS, SUPERSESSION_FIELDS
from api.wear_parts.entries import ItemKey

TABLES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "makers": (MAKER_FIELDS, ()),
    "parts": (PART_FIELDS, ("material", "grade", "voltage")),
    "starters": (STARTER_FIELDS, ()),
    "listings": (LISTING_FIELDS, ()),
    "numbers": (NUMBER_FIELDS, ("issuer",)),
    "supersessions": (SUPERSESSION_FIELDS, ()),
    "suppliers": (SUPPLIER_FIELDS, ("free_shipping_from",)),
    "offers": (
        OFFER_FIELDS,
        ("pack_size", "minimum_quantity", "core_deposit", "stock", "valid_until"),
    ),
    "labour": (LABOUR_FIELDS, ()),
    "shop_terms": (SHOP_TERMS_FIELDS, ()),
    "lives": (LIFE_FIELDS, ()),
    "usage": (USAGE_FIELDS, ("currency",)),
}
"""The CSV files at the top of the folder: their columns, and which of those may be left out."""

LEFT_OUT = ("lives", "usage")
"""Files that a folder need not have."""


@attrs.frozen(eq=False)
class KindOfPart(Mapping[tuple[str, str], str]):
    """The kinds of the parts among all items, by maker and number; a view that keeps nothing itself."""

    items_known: Mapping[ItemKey, str | None]

    def __getitem__(self, key: tuple[str, str]) -> str:
        kind = self.items_known[ItemKey("part", *key)]
        if kind is None:
            raise KeyError(key)
        return kind

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return ((item.maker, item.number) for item in self.items_known if item.owner == "part")

    def __len__(self) -> int:
        return sum(item.owner == "part" for item in self.items_known)


@attrs.frozen(eq=False)
class OpenedCatalogue:
    """Every file of a catalogue; `sizes` by kind, `tables` by the names of `TABLES`."""

    kinds: tuple[TomlDocument, ...]
    families: tuple[TomlDocument, ...]
    sizes: dict[str, CsvTable]
    tables: dict[str, CsvTable]

    def keys(self, table: str, *columns: str) -> Iterator[tuple[str, ...]]:
        """Yield what every row of a table has in these columns."""
        for row in self.tables[table].rows:
            yield tuple([row.cells.get(column, "").strip() for column in columns])

    @property
    def row_count(self) -> int:
        """Return how many rows all CSV files have."""
        return sum(table.count for table in (*self.sizes.values(), *self.tables.values()))

    def kind_of_size(self) -> dict[str, str]:
        """Return the kind of every size code."""
        return {
            row.cells["code"].strip(): kind
            for kind, table in self.sizes.items()
            for row in table.rows
            if "code" in row.cells
        }

    def kind_of_item(self) -> dict[ItemKey, str | None]:
        """Return the kind of every part, None for every starter."""
        found: dict[ItemKey, str | None] = {
            ItemKey("starter", maker, number): None
            for maker, number in self.keys("starters", "maker", "number")
        }
        for maker, number, kind in self.keys("parts", "maker", "number", "kind"):
            found[ItemKey("part", intern(maker), number)] = intern(kind)
        return found

    def kinds_by_family(self) -> dict[str, dict[str, str | None]]:
        """Return for every family its positions and their kinds."""
        found = {}
        for document in self.families:
            for family in tables_of(document.values, "family"):
                found[text_of(family, "code")] = {
                    text_of(position, "code"): text_of(position, "kind") or None
                    for position in tables_of(family, "position")
                }
        return found


def open_catalogue(files: CatalogueFiles) -> OpenedCatalogue:
    """Return every file of a catalogue opened, or raise `CatalogueRefused` where one cannot be read.

    A kind's file is named for it; its sizes stand in a file of the same name, whose columns are the
    kind's dimensions.
    """
    kind_names, family_names = files.names("kinds", ".toml"), files.names("families", ".toml")
    kinds = [document for name in kind_names if (document := files.toml(name))]
    families = [document for name in family_names if (document := files.toml(name))]
    sizes = {}
    expected = [*kind_names, *family_names, *(f"{table}.csv" for table in TABLES)]
    for document in kinds:
        code = PurePosixPath(document.source.name).stem
        name = f"sizes/{code}.csv"
        dimensions = [text_of(dimension, "code") for dimension in tables_of(document.values, "dimension")]
        if files.has(name):
            sizes[code] = files.csv(name, ("code", *dimensions, "provenance"), optional=dimensions)
    expected += [f"sizes/{PurePosixPath(name).stem}.csv" for name in kind_names]
    tables = {
        name: CsvTable(SourceText(f"{name}.csv", ""), tuple(layout[0]), 0, whole=True)
        if name in LEFT_OUT and not files.has(f"{name}.csv")
        else files.csv(f"{name}.csv", *layout)
        for name, layout in TABLES.items()
    }
    files.refuse_others(expected)
    files.stop_where_unread()
    return OpenedCatalogue(tuple(kinds), tuple(families), sizes, tables)


def tables_of(values: Mapping[str, Any], name: str) -> list[Mapping[str, Any]]:
    """Return a list of tables as far as it is one."""
    items = values.get(name)
    return [item for item in items if isinstance(item, Mapping)] if isinstance(items, list) else []


def text_of(values: Mapping[str, Any], name: str) -> str:
    """Return a text, empty where there is none."""
    value = values.get(name)
    return value.strip() if isinstance(value, str) else ""
