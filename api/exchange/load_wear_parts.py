"""Load kinds, makers, sizes, parts, numbers and supersessions."""

from collections.abc import Iterator, Mapping, Sequence

from sqlalchemy import select

from api.columns import columns
from api.exchange import catalogue_rows as rows
from api.exchange.missing_rows import Loading, Noun, Values, chunks, filled, insert_rows, stored_children
from api.exchange.refuse_shared_numbers import refuse_shared_numbers
from api.wear_parts.check_part import own_number
from api.wear_parts.entries import (
    ItemKey,
    KindEntry,
    MakerEntry,
    NumberEntry,
    PartEntry,
    SizeEntry,
    SupersessionEntry,
)
from api.wear_parts.numbers import normalise_number
from api.wear_parts.supersessions import SupersessionCycle, find_cycles
from api.wear_parts.tables import (
    Dimension,
    DimensionChoice,
    Kind,
    Maker,
    Number,
    Part,
    Size,
    SizeValue,
    Supersession,
)

KINDS = Noun.of("kinds", Kind, "code")
DIMENSIONS = Noun.of("dimensions", Dimension, "kind_code", "code")
CHOICES = Noun.of("choices", DimensionChoice, "kind_code", "dimension_code", "value")
MAKERS = Noun.of("makers", Maker, "code")
SIZES = Noun.of("sizes", Size, "code")
PARTS = Noun.of("parts", Part, "maker_code", "number")
NUMBERS = Noun.of(
    "numbers",
    Number,
    *("part_id", "starter_id", "scheme", "issuer", "normalised"),
    lookup=("normalised",),
)
SUPERSESSIONS = Noun.of("supersessions", Supersession, "old_number_id")

_number = columns(Number)
_supersession = columns(Supersession)
_SIZE_VALUE = Noun.of("size values", SizeValue, "size_id", "dimension_code").table


def load_kinds(loading: Loading, kinds: Sequence[KindEntry]) -> None:
    """Add missing kinds, and missing dimensions and choices of those that are there."""
    loading.add(KINDS, kinds, rows.kind_row, lambda kind: kind.code)
    dimensions = [
        (kind.code, place, dimension)
        for kind in kinds
        for place, dimension in enumerate(kind.dimensions, start=1)
    ]
    loading.add(
        DIMENSIONS,
        dimensions,
        lambda entry: rows.dimension_row(*entry),
        lambda entry: f"{entry[0]} {entry[2].code}",
    )
    choices: list[Values] = [
        {
            "kind_code": kind,
            "dimension_code": dimension.code,
            "value": choice.value,
            "label": choice.label,
            "sequence": place,
        }
        for kind, _, dimension in dimensions
        for place, choice in enumerate(dimension.choices, start=1)
    ]
    loading.add(
        CHOICES, choices, dict, lambda row: f"{row['kind_code']} {row['dimension_code']} {row['value']}"
    )


def load_makers(loading: Loading, makers: Sequence[MakerEntry]) -> None:
    """Add missing makers."""
    loading.add(MAKERS, makers, rows.maker_row, lambda maker: maker.code)


def load_sizes(loading: Loading, sizes: Sequence[SizeEntry]) -> rows.Ids:
    """Add missing sizes with their values; return the id of every size by (code,)."""
    outcome = loading.add(
        SIZES,
        sizes,
        rows.size_row,
        lambda size: size.code,
        remember=True,
    )

    def values(size: SizeEntry) -> Iterator[Values]:
        size_id = outcome.ids[(size.code,)]
        return (rows.size_value_row(size_id, size.kind, value) for value in size.values)

    fresh = (size for size in sizes if (size.code,) not in outcome.found)
    insert_rows(loading.connection, _SIZE_VALUE, (row for size in fresh for row in values(size)))
    for chunk in chunks(size for size in sizes if (size.code,) in outcome.found):
        ids = [outcome.ids[(size.code,)] for size in chunk]
        stored = stored_children(loading.connection, _SIZE_VALUE, "size_id", ids)
        for size, size_id in zip(chunk, ids, strict=True):
            if {filled(row.items()) for row in values(size)} != stored[size_id]:
                outcome.differ(size.code)
    return outcome.ids


def load_parts(loading: Loading, parts: Sequence[PartEntry], sizes: rows.Ids) -> dict[ItemKey, str]:
    """Add missing parts; return the id of every part."""
    outcome = loading.add(
        PARTS, parts, lambda part: rows.part_row(part, sizes), lambda part: str(part.key), remember=True
    )
    return {ItemKey("part", *key): part_id for key, part_id in outcome.ids.items()}


def load_numbers(loading: Loading, numbers: Sequence[NumberEntry], items: Mapping[ItemKey, str]) -> None:
    """Add missing numbers: of every item its maker's own, then the further ones.

    Raises `NumberNamesTwo` where one that names one thing would, with the stored ones, name two.
    """
    own = (own_number(item) for item in items)
    every = (number for part in (own, numbers) for number in part)
    loading.add(
        NUMBERS,
        every,
        lambda number: rows.number_row(number, items),
        lambda number: f"{number.item} {number.scheme} {number.written}",
    )
    if loading.outcomes[NUMBERS.name].added:
        refuse_shared_numbers(loading.connection)


def load_supersessions(
    loading: Loading, supersessions: Sequence[SupersessionEntry], items: Mapping[ItemKey, str]
) -> None:
    """Add missing supersessions, between the makers' own numbers.

    Raises `SupersessionCycle` where they and the stored ones together run in a circle.
    """
    ends = {item: items[item] for entry in supersessions for item in (entry.old, entry.new)}
    number_ids = _own_number_ids(loading, ends)
    loading.add(
        SUPERSESSIONS,
        supersessions,
        lambda entry: {
            "old_number_id": number_ids[entry.old],
            "new_number_id": number_ids[entry.new],
            "superseded_on": entry.on,
        },
        lambda entry: str(entry.old),
    )
    if loading.outcomes[SUPERSESSIONS.name].added:
        _refuse_circles(loading)


def _own_number_ids(loading: Loading, ends: Mapping[ItemKey, str]) -> dict[ItemKey, str]:
    """Return for each item the id of its maker's own number, which `load_numbers` has seen to."""
    found: dict[ItemKey, str] = {}
    item_of_id = {item_id: item for item, item_id in ends.items()}
    for column in (_number.part_id, _number.starter_id):
        for chunk in chunks(ends.values()):
            query = select(column, _number.id, _number.issuer, _number.normalised).where(
                column.in_(chunk), _number.scheme == "maker"
            )
            for item_id, number_id, issuer, normalised in loading.connection.execute(query):
                item = item_of_id[item_id]
                if issuer == item.maker and normalised == normalise_number(item.number):
                    found[item] = number_id
    return found


def _refuse_circles(loading: Loading) -> None:
    query = select(_supersession.old_number_id, _supersession.new_number_id).where(
        _supersession.withdrawn_on.is_(None)
    )
    replaced_by = {row.old_number_id: row.new_number_id for row in loading.connection.execute(query)}
    for cycle in find_cycles(replaced_by):
        written = select(_number.id, _number.written).where(_number.id.in_(cycle))
        names = {row.id: row.written for row in loading.connection.execute(written)}
        raise SupersessionCycle(tuple(names[number_id] for number_id in cycle))
