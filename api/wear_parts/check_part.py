"""What makers, wear parts, their further numbers and supersessions must be. Pure.

References to other entries are checked against the keys that the caller knows.
"""

from collections.abc import Collection, Mapping

from api.errors import InvalidInput
from api.wear_parts.entries import ItemKey, MakerEntry, NumberEntry, PartEntry, SupersessionEntry
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.numbers import check_gtin, normalise_number
from api.wear_parts.vocabulary import OWNERS, PROVENANCES, SCHEMES, VOLTAGES

MAKER_FIELDS = ("code", "name")
PART_FIELDS = (
    "maker",
    "number",
    "kind",
    "size",
    "description",
    "material",
    "grade",
    "voltage",
    "provenance",
)
NUMBER_FIELDS = ("owner", "maker", "number", "scheme", "issuer", "written")
SUPERSESSION_FIELDS = ("maker", "old_number", "new_maker", "new_number", "on")


def check_maker(entry: Mapping[str, object]) -> MakerEntry:
    """Return the maker that an entry states, or raise `InvalidInput` with all faults."""
    fields = EntryFields(entry, MAKER_FIELDS)
    maker = MakerEntry(fields.code("code"), fields.text("name"))
    fields.settle()
    return maker


def check_part(
    entry: Mapping[str, object],
    makers: Collection[str],
    kinds: Collection[str],
    kind_of_size: Mapping[str, str],
) -> PartEntry:
    """Return the part that an entry states; its maker, kind and size are known, its kind is the size's.

    `kind_of_size` leads from every known size code to its kind. Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, PART_FIELDS)
    part = PartEntry(
        maker=fields.known("maker", makers, "maker"),
        number=fields.maker_number("number"),
        kind=fields.known("kind", kinds, "kind"),
        size=fields.known("size", kind_of_size, "size"),
        description=fields.text("description"),
        material=fields.optional_text("material"),
        grade=fields.optional_text("grade"),
        voltage=_voltage(fields),
        provenance=fields.one_of("provenance", PROVENANCES),
    )
    kind = kind_of_size.get(part.size)
    if kind is not None and part.kind in kinds and part.kind != kind:
        fields.refuse("size", part.size, f"a size of the kind {part.kind}, not of {kind}", "other_kind")
    fields.settle()
    return part


def check_number(entry: Mapping[str, object], items: Collection[ItemKey]) -> NumberEntry:
    """Return the further number that an entry states, for one of the known `items`.

    A GTIN has a right check digit and no issuer; every other number has one. The maker's own number is
    the item's own and is not stated again. Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, NUMBER_FIELDS)
    owner = fields.one_of("owner", OWNERS)
    item = ItemKey(owner, fields.text("maker"), fields.text("number"))
    scheme = fields.one_of("scheme", SCHEMES)
    if owner in OWNERS and item.maker and item.number and item not in items:
        fields.refuse(
            "number", item.number, f"a number of a known {owner} of {item.maker}", f"unknown_{owner}"
        )
    if scheme == "gtin":
        issuer = None
        if fields.given("issuer") is not None:
            fields.refuse("issuer", fields.given("issuer"), "no issuer for a GTIN", "not_applicable")
    else:
        issuer = fields.text("issuer")
    written = fields.text("written")
    form = ""
    if written:
        try:
            form = check_gtin(written) if scheme == "gtin" else normalise_number(written)
        except InvalidInput as refused:
            fields.take(refused.faults, "written")
    if scheme == "maker" and issuer == item.maker and form and form == _form(item.number):
        fields.refuse(
            "written", written, "a number besides the maker's own, which stands already", "duplicate"
        )
    fields.settle()
    return NumberEntry(item, scheme, issuer, written, form)


def own_number(item: ItemKey) -> NumberEntry:
    """Return the number that a part or a starter goes by at its maker; it can be compared."""
    return NumberEntry(item, "maker", item.maker, item.number, normalise_number(item.number))


def check_supersession(
    entry: Mapping[str, object], kind_of_item: Mapping[ItemKey, str | None]
) -> SupersessionEntry:
    """Return the supersession that an entry states.

    Both numbers are makers' numbers of known parts of one kind, or of known starters; `kind_of_item`
    holds them all, with None for a starter. Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, SUPERSESSION_FIELDS)
    old = _item(fields, "maker", "old_number", kind_of_item)
    new = _item(fields, "new_maker", "new_number", kind_of_item)
    day = fields.day("on")
    if old is not None and new is not None:
        if old == new:
            fields.refuse("new_number", new.number, "another number than the superseded one", "same_number")
        elif old.owner != new.owner or kind_of_item[old] != kind_of_item[new]:
            wanted = kind_of_item[old] or "starter"
            fields.refuse("new_number", new.number, f"a {wanted}, as the superseded number is", "other_kind")
    fields.settle()
    return SupersessionEntry(old or _NO_ITEM, new or _NO_ITEM, day)


_NO_ITEM = ItemKey("", "", "")


def _item(
    fields: EntryFields, maker: str, number: str, kind_of_item: Mapping[ItemKey, str | None]
) -> ItemKey | None:
    maker_code, written = fields.text(maker), fields.text(number)
    if not maker_code or not written:
        return None
    for owner in OWNERS:
        item = ItemKey(owner, maker_code, written)
        if item in kind_of_item:
            return item
    fields.refuse(number, written, f"the number of a known part or starter of {maker_code}", "unknown_number")
    return None


def _form(number: str) -> str:
    try:
        return normalise_number(number)
    except InvalidInput:
        return ""


def _voltage(fields: EntryFields) -> int | None:
    voltage = fields.optional_whole("voltage", min(VOLTAGES), max(VOLTAGES))
    if voltage is not None and voltage not in VOLTAGES:
        known = ", ".join(str(known) for known in VOLTAGES)
        fields.refuse("voltage", fields.given("voltage"), f"one of {known}", "unknown_choice")
    return voltage
