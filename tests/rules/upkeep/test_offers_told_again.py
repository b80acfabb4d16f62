"""Every offer of the seed catalogue, told in the words of a body, is the offer that is stored."""

from databases import new_place
from sqlalchemy import select

from api.columns import columns
from api.exchange.catalogue_rows import offer_row
from api.offers.store import find_offer
from api.offers.tables import Offer
from api.upkeep.entry_types import Withdrawable
from api.upkeep.known_items import find_item, known_suppliers
from api.upkeep.offers import OFFERS
from api.wire.inputs import read_value


def test_every_offer_is_checked_to_what_is_stored() -> None:
    offer = columns(Offer)
    with new_place("sqlite", "seeded") as place:
        database = place.open()
        with database.read() as reads:
            ids = [row.id for row in reads.rows(select(offer.id))]
            for offer_id in ids:
                row = find_offer(reads, offer_id)
                assert row is not None
                told = OFFERS.entry(reads, row)
                assert isinstance(read_value(told, OFFERS.model), Withdrawable)
                checked = OFFERS.check(reads, {name: held for name, held in told.items() if held is not None})
                OFFERS.refuse(reads, checked, row)
                OFFERS.refuse_standing(reads, checked, row)
                supplier, item = known_suppliers(reads).row(checked.supplier), find_item(reads, checked.item)
                assert supplier is not None
                assert item is not None
                kept = offer_row(checked, {(checked.supplier,): supplier.id}, {checked.item: item.id})
                assert kept == {name: getattr(row, name) for name in kept}
        database.close()
    assert len(ids) > 1_000
