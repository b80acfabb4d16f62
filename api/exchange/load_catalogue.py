"""Load a catalogue into the database: what is missing is added, what is there is kept as it is.

Entries are found by human key, so that loading twice adds nothing and edits are never overwritten. A
size belongs to its values and a position to its seat: they are added and kept together.
"""

from collections.abc import Mapping
from datetime import date

import attrs
from sqlalchemy import Connection, exists, select

from api.comparison.tables import LabourTime, ShopTerms, UsageFigure, WearLife
from api.database import WriteSession
from api.exchange import catalogue_rows as rows
from api.exchange.catalogue import Catalogue
from api.exchange.load_starters import (
    FAMILIES,
    load_families,
    load_listings,
    load_positions,
    load_starters,
)
from api.exchange.load_wear_parts import (
    KINDS,
    MAKERS,
    load_kinds,
    load_makers,
    load_numbers,
    load_parts,
    load_sizes,
    load_supersessions,
)
from api.exchange.missing_rows import Loading, Noun
from api.exchange.refuse_overlaps import refuse_overlaps
from api.exchange.watch import UNWATCHED, Watch
from api.offers.tables import Offer, Supplier
from api.wear_parts.catalogue_version import grow_version
from api.wear_parts.entries import ItemKey
from api.wear_parts.tables import CatalogueState

SUPPLIERS = Noun.of("suppliers", Supplier, "code")
OFFERS = Noun.of("offers", Offer, "supplier_id", "number")
LABOUR = Noun.of("labour", LabourTime, "scope", "code")
SHOP_TERMS = Noun.of("shop_terms", ShopTerms, "currency")
LIVES = Noun.of("lives", WearLife, "scope", "code")
USAGE = Noun.of("usage", UsageFigure, "code", "currency")
STATE = Noun.of("state", CatalogueState, "id")


@attrs.frozen
class LoadReport:
    """What a load did, by noun: how many were added and kept, and the keys kept though they differ.

    `lapsed_offers` counts the catalogue's offers whose validity had ended on the day of the load.
    """

    added: dict[str, int]
    kept: dict[str, int]
    differing: dict[str, tuple[str, ...]]
    lapsed_offers: int

    @property
    def changed(self) -> bool:
        """Return whether anything was added."""
        return any(self.added.values())


def load_catalogue(
    connection: Connection, catalogue: Catalogue, today: date, watch: Watch = UNWATCHED
) -> LoadReport:
    """Add what the database lacks of a catalogue, within the caller's transaction.

    The maker's own number of every part and starter is added too. `watch` is told of the entries. The
    catalogue's version grows by one where anything was added. Raises `SupersessionCycle` where the
    catalogue's supersessions and the stored ones would together run in a circle, `OffersOverlap` where
    offers would clash, `NumberNamesTwo` where numbers would.
    """
    watch.start("Loading", count_entries(catalogue))
    loading = Loading(connection, watch)
    load_kinds(loading, catalogue.kinds)
    load_makers(loading, catalogue.makers)
    sizes = load_sizes(loading, catalogue.sizes)
    items = load_parts(loading, catalogue.parts, sizes)
    families = load_families(loading, catalogue.families)
    positions = load_positions(loading, catalogue.families, families)
    items.update(load_starters(loading, catalogue.starters, families))
    load_listings(loading, catalogue.listings, positions, items)
    load_numbers(loading, catalogue.numbers, items)
    load_supersessions(loading, catalogue.supersessions, items)
    _load_offers(loading, catalogue, items)
    _load_shop(loading, catalogue)
    report = _report(loading, catalogue, today)
    if report.changed:
        grow_version(WriteSession(connection))
    return report


def count_entries(catalogue: Catalogue) -> int:
    """Return how many entries a load has to look at: the maker's own numbers are among them."""
    dimensions = [dimension for kind in catalogue.kinds for dimension in kind.dimensions]
    return (
        sum(map(len, attrs.asdict(catalogue, recurse=False).values()))
        + len(dimensions)
        + sum(len(dimension.choices) for dimension in dimensions)
        + sum(len(family.positions) for family in catalogue.families)
        + len(catalogue.parts)
        + len(catalogue.starters)
    )


def is_empty(connection: Connection) -> bool:
    """Return whether no catalogue was ever loaded or written: no kind, maker, family or supplier."""
    nouns = (STATE, KINDS, MAKERS, FAMILIES, SUPPLIERS)
    return not any(connection.execute(select(exists().select_from(noun.table))).scalar() for noun in nouns)


def _load_offers(loading: Loading, catalogue: Catalogue, items: Mapping[ItemKey, str]) -> None:
    suppliers = loading.add(
        SUPPLIERS, catalogue.suppliers, rows.supplier_row, lambda supplier: supplier.code, remember=True
    )
    loading.add(
        OFFERS,
        catalogue.offers,
        lambda offer: rows.offer_row(offer, suppliers.ids, items),
        lambda offer: f"{offer.supplier} {offer.number}",
    )
    if loading.outcomes[OFFERS.name].added:
        refuse_overlaps(loading.connection)


def _load_shop(loading: Loading, catalogue: Catalogue) -> None:
    loading.add(LABOUR, catalogue.labour, attrs.asdict, lambda labour: f"{labour.scope} {labour.code}")
    loading.add(SHOP_TERMS, catalogue.shop_terms, rows.shop_terms_row, lambda terms: terms.currency)
    loading.add(LIVES, catalogue.lives, attrs.asdict, lambda life: f"{life.scope} {life.code}")
    loading.add(USAGE, catalogue.usage, attrs.asdict, lambda usage: f"{usage.code} {usage.currency}")


def _report(loading: Loading, catalogue: Catalogue, today: date) -> LoadReport:
    outcomes = loading.outcomes.items()
    day = today.isoformat()
    return LoadReport(
        added={name: outcome.added for name, outcome in outcomes},
        kept={name: outcome.kept for name, outcome in outcomes},
        differing={name: tuple(outcome.differing) for name, outcome in outcomes if outcome.differing},
        lapsed_offers=sum(
            offer.valid_until is not None and offer.valid_until <= day for offer in catalogue.offers
        ),
    )
