"""What a position and its seat must be. Pure.

An entry has `code`, `kind` (where one covers it), `quantity` and `seat`: a value by feature, ranges
and threads as text, counts as whole numbers.
"""

from collections.abc import Collection, Mapping

from api.fit.contacts.threads import UnknownThread, read_thread
from api.starters.entries import PositionEntry, SeatFeatureEntry
from api.starters.vocabulary import (
    POSITION_KINDS,
    SEAT_CHOICES,
    SEAT_COUNTS,
    SEAT_FEATURES,
    SEAT_RANGES,
)
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.length_ranges import read_count, read_range

POSITION_FIELDS = ("code", "kind", "quantity", "seat")
MOST_OF_ONE_POSITION = 24


def check_position(entry: Mapping[str, object], kinds: Collection[str]) -> PositionEntry:
    """Return the position that an entry states.

    A position whose parts are of a fixed kind states that kind; a bore is wider than the shaft in it.
    Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, POSITION_FIELDS)
    code = fields.one_of("code", POSITION_KINDS)
    kind = fields.known("kind", kinds, "kind") if fields.given("kind") is not None else None
    fixed = POSITION_KINDS.get(code)
    if fixed is not None and kind != fixed:
        fields.refuse(
            "kind", kind or "", f"{fixed}, the kind of every {code}", "missing" if not kind else "other_kind"
        )
    position = PositionEntry(
        code=code,
        kind=kind,
        quantity=fields.whole("quantity", 1, MOST_OF_ONE_POSITION),
        seat=_seat(fields),
    )
    fields.settle()
    return position


def _seat(fields: EntryFields) -> tuple[SeatFeatureEntry, ...]:
    if fields.given("seat") is None:
        return ()
    inner = fields.mapping("seat", SEAT_FEATURES)
    features = [_feature(inner, name) for name in SEAT_FEATURES if inner.given(name) is not None]
    seat = {entry.feature: entry for entry in features}
    bore, shaft = seat.get("housing_bore"), seat.get("shaft_diameter")
    if bore and shaft and bore.lower_nm and shaft.upper_nm and shaft.upper_nm >= bore.lower_nm:
        inner.refuse(
            "shaft_diameter", inner.given("shaft_diameter"), "less than housing_bore", "out_of_order"
        )
    fields.absorb(inner, "seat")
    return tuple(features)


def _feature(fields: EntryFields, name: str) -> SeatFeatureEntry:
    if name in SEAT_RANGES:
        found = read_range(fields, name)
        return SeatFeatureEntry(
            feature=name,
            lower_nm=found.lower_nm if found else None,
            upper_nm=found.upper_nm if found else None,
        )
    if name in SEAT_COUNTS:
        return SeatFeatureEntry(feature=name, count=read_count(fields, name))
    if name in SEAT_CHOICES:
        return SeatFeatureEntry(feature=name, text=fields.one_of(name, SEAT_CHOICES[name]))
    thread = fields.text(name)
    if thread:
        try:
            read_thread(thread)
        except UnknownThread as refused:
            fields.measured(name, refused)
    return SeatFeatureEntry(feature=name, text=thread)
