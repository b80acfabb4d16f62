"""Further numbers of parts and starters; the maker's own is kept with its part or starter."""

from collections.abc import Mapping
from typing import Annotated, Any, Final

from pydantic import Field
from sqlalchemy import Row, insert, update
from uuid_utils import uuid7

from api.columns import columns
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput
from api.exchange.catalogue_rows import Values, number_row
from api.interchange.item_number_routes import require_owner
from api.interchange.number_shapes import kept_number
from api.interchange.stored_numbers import Owner, find_item_number, is_own, kept_numbers, number_entry
from api.upkeep.entry_types import Line, Withdrawable, patch_of
from api.upkeep.known_items import find_item
from api.upkeep.noun import Address, AlreadyKnown, Noun
from api.upkeep.withdrawals import withdrawing
from api.wear_parts.check_part import check_number
from api.wear_parts.claimed_numbers import claim_of
from api.wear_parts.entries import ItemKey, NumberEntry
from api.wear_parts.keys import require_id
from api.wear_parts.numbers import LONGEST_NUMBER
from api.wear_parts.shapes import Scheme
from api.wear_parts.tables import Number

_number = columns(Number)


class NumberRequest(Withdrawable):
    """A further number; a GTIN has a right check digit and no issuer, every other number has an issuer."""

    scheme: Scheme
    issuer: Annotated[
        Line | None, Field(description="who gave the number; left out for a GTIN, else required")
    ] = None
    written: Annotated[
        str, Field(min_length=1, max_length=LONGEST_NUMBER, description="as it stands on the part or starter")
    ]


def _entry(reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {"scheme": row.scheme, "issuer": row.issuer, "written": row.written}


def _row(reads: ReadSession, entry: NumberEntry) -> Values:
    """Return the row of a checked number: its item is known."""
    item = find_item(reads, entry.item)
    return number_row(entry, {} if item is None else {entry.item: item.id})


def _others(reads: ReadSession, entry: NumberEntry, kept: Row[Any] | None) -> list[Row[Any]]:
    """Return the other numbers of this scheme, issuer and compared form, whatever they are on."""
    return [
        row
        for row in reads.rows(
            kept_numbers()
            .where(_number.normalised == entry.normalised, _number.scheme == entry.scheme)
            .order_by(_number.id)
        )
        if row.issuer == entry.issuer and (kept is None or row.id != kept.id)
    ]


def _refuse_standing(reads: ReadSession, entry: NumberEntry, kept: Row[Any] | None) -> None:
    """Refuse a GTIN that another part or starter goes by."""
    claim = claim_of(entry)
    for other in _others(reads, entry, kept) if claim is not None else ():
        if other.withdrawn_on is None:
            whose = number_entry(other).item
            why = f"it is the GTIN of the {whose.owner} {whose.number} of {whose.maker}"
            raise AlreadyKnown("number", entry.written, f"{why}, and a GTIN names one thing")


def _add(writes: WriteSession, entry: NumberEntry) -> Address:
    number_id, row = str(uuid7()), _row(writes, entry)
    writes.run(insert(Number), {"id": number_id, **row})
    return row["part_id"] or row["starter_id"], number_id


def _change(writes: WriteSession, row: Row[Any], entry: NumberEntry) -> None:
    writes.run(update(Number).where(_number.id == row.id).values(**_row(writes, entry)))


def _numbers_of(owner: Owner) -> Noun[NumberEntry]:
    def find(reads: ReadSession, address: Address) -> Row[Any] | None:
        item = require_owner(reads, owner, address[0])
        return find_item_number(reads, owner, item.id, require_id("number", address[1]))

    def check(reads: ReadSession, entry: Mapping[str, Any]) -> NumberEntry:
        item = require_owner(reads, owner, entry[owner])
        key = ItemKey(owner, item.maker_code, item.number)
        stated = {name: held for name, held in entry.items() if name != owner}
        return check_number({**stated, "owner": owner, "maker": key.maker, "number": key.number}, (key,))

    def refuse(reads: ReadSession, entry: NumberEntry, kept: Row[Any] | None) -> None:
        item = find_item(reads, entry.item)
        if kept is None and item is not None and item.withdrawn_on is not None:
            expected = f"numbers of a {owner} that is not withdrawn (this one is, from {item.withdrawn_on})"
            raise InvalidInput.of([FieldFault((), entry.item.number, expected, f"withdrawn_{owner}")])
        if kept is not None and is_own(kept):
            raise AlreadyKnown(
                "number", kept.written, f"it is the maker's own, which is kept with its {owner}"
            )
        for other in _others(reads, entry, kept):
            if item is not None and item.id in (other.part_id, other.starter_id):
                state = "" if other.withdrawn_on is None else f", withdrawn from {other.withdrawn_on}"
                raise AlreadyKnown("number", entry.written, f"the {owner} has it as {other.written!r}{state}")

    return Noun(
        name=f"number of a {owner}",
        scope="catalogue",
        model=NumberRequest,
        patch_model=NUMBER_PATCH,
        fixed=(),
        path=lambda row: f"/v1/{owner}s/{row.item_id}/numbers/{row.id}",
        address=lambda row: (row.item_id, row.id),
        find=find,
        entry=_entry,
        check=check,
        refuse=refuse,
        refuse_standing=_refuse_standing,
        add=_add,
        change=_change,
        set_withdrawn=withdrawing(Number),
        answer=lambda reads, row: kept_number(row),
    )


NUMBER_PATCH: Final = patch_of(NumberRequest)
PART_NUMBERS: Final = _numbers_of("part")
STARTER_NUMBERS: Final = _numbers_of("starter")
