"""A whole catalogue as plain frozen values, in the order in which its files state it."""

import attrs

from api.exchange.shop_entries import LabourEntry, ShopTermsEntry
from api.exchange.usage_entries import LifeEntry, UsageEntry
from api.offers.entries import OfferEntry, SupplierEntry
from api.starters.entries import FamilyEntry, ListingEntry, StarterEntry
from api.wear_parts.entries import (
    KindEntry,
    MakerEntry,
    NumberEntry,
    PartEntry,
    SizeEntry,
    SupersessionEntry,
)


@attrs.frozen(kw_only=True)
class Catalogue:
    """Everything a catalogue folder states; every reference leads to an entry in the same catalogue.

    `numbers` are the further numbers: the maker's own number stands with its part or starter.
    """

    kinds: tuple[KindEntry, ...] = ()
    makers: tuple[MakerEntry, ...] = ()
    sizes: tuple[SizeEntry, ...] = ()
    parts: tuple[PartEntry, ...] = ()
    families: tuple[FamilyEntry, ...] = ()
    starters: tuple[StarterEntry, ...] = ()
    listings: tuple[ListingEntry, ...] = ()
    numbers: tuple[NumberEntry, ...] = ()
    supersessions: tuple[SupersessionEntry, ...] = ()
    suppliers: tuple[SupplierEntry, ...] = ()
    offers: tuple[OfferEntry, ...] = ()
    labour: tuple[LabourEntry, ...] = ()
    shop_terms: tuple[ShopTermsEntry, ...] = ()
    lives: tuple[LifeEntry, ...] = ()
    usage: tuple[UsageEntry, ...] = ()
