"""Values of the checks after reassembly: the family's own, and published ones where they apply. Pure."""

from collections.abc import Iterator, Sequence
from typing import Final, Literal

import attrs

from api.inspection.limit_data import AcceptanceRow, Basis, LimitBook
from api.starters.entries import FamilyEntry, SeatFeatureEntry
from api.wear_parts.value_text import range_text

MANUAL: Final = "by the maker's manual"


@attrs.frozen(kw_only=True)
class SheetValue:
    """A value of a check: the family's own, or published. `applies` false: for comparison only."""

    quantity: str
    text: str
    source: str
    basis: Basis | Literal["family"]
    applies: bool


def published_values(book: LimitBook, family: FamilyEntry, check: str) -> tuple[SheetValue, ...]:
    """Return the published values of a check for the family's voltage, and whether each applies to it."""
    rows = [row for row in book.acceptance if row.check == check and family.voltage in row.voltage]
    return tuple(_value(row, family) for row in rows)


def _value(row: AcceptanceRow, family: FamilyEntry) -> SheetValue:
    power, made = family.rated_power_w, family.construction
    applies = (
        not row.shown_only
        and (row.power_w is None or row.power_w[0] <= power <= row.power_w[1])
        and (not row.constructions or made in row.constructions)
    )
    where = f" {row.at}" if row.at else ""
    return SheetValue(
        quantity=row.quantity,
        text=f"{_bounds(row)}{where}",
        source=row.source,
        basis=row.basis,
        applies=applies,
    )


def seat_values(family: FamilyEntry) -> tuple[SheetValue, ...]:
    """Return rest clearance and travel as the seat of the family's drive has them."""
    return tuple(_of_seat(family))


def _of_seat(family: FamilyEntry) -> Iterator[SheetValue]:
    drive = family.position("drive_clutch")
    for feature in ("rest_clearance", "travel"):
        entry = None if drive is None else drive.feature(feature)
        if entry is not None:
            yield SheetValue(
                quantity=feature,
                text=_seat_text(entry),
                source=f"family {family.code}",
                basis="family",
                applies=True,
            )


def answered_by_manual(values: Sequence[SheetValue]) -> bool:
    """Return whether no value applies, so that the maker's manual has to tell."""
    return not any(one.applies for one in values)


def _bounds(row: AcceptanceRow) -> str:
    if row.least is not None and row.most is not None:
        return f"{row.least:.10g} to {row.most:.10g}"
    return f"at least {row.least:.10g}" if row.least is not None else f"at most {row.most:.10g}"


def _seat_text(entry: SeatFeatureEntry) -> str:
    if entry.lower_nm is None or entry.upper_nm is None:
        return str(entry.count if entry.count is not None else entry.text)
    return range_text(entry.lower_nm, entry.upper_nm)
