"""What a size must be. Pure.

An entry has `code`, `provenance` and `dimensions`: text by dimension code, as in `12.500..12.518 mm`,
`11`, `clockwise` or `n/a` (the dimension does not apply). A dimension left out is not recorded.
"""

from collections.abc import Mapping

from api.measurement.refusals import nearest_name
from api.wear_parts.entries import DimensionEntry, KindEntry, SizeEntry, SizeValueEntry
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.length_ranges import read_count, read_range
from api.wear_parts.required_dimensions import find_gaps
from api.wear_parts.vocabulary import PROVENANCES

SIZE_FIELDS = ("code", "provenance", "dimensions")
NOT_APPLICABLE = "n/a"


def check_size(kind: KindEntry, entry: Mapping[str, object]) -> SizeEntry:
    """Return the size of `kind` that an entry states.

    Every value lies within the span of its dimension, every choice is one of the dimension's, and
    nothing that the kind requires is missing. Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, SIZE_FIELDS)
    code = fields.code("code")
    provenance = fields.one_of("provenance", PROVENANCES)
    known = [dimension.code for dimension in kind.dimensions]
    inner = fields.mapping("dimensions", known)
    values = {}
    for dimension in kind.dimensions:
        value = _value(inner, dimension, provenance)
        if value is not None:
            values[dimension.code] = value
    if inner.sound:
        for gap in find_gaps(kind.code, values):
            stands = inner.given(gap.dimension)
            inner.refuse(gap.dimension, "" if stands is None else stands, gap.expected, gap.code)
    fields.absorb(inner, "dimensions")
    fields.settle()
    return SizeEntry(kind.code, code, tuple(values.values()))


def _value(fields: EntryFields, dimension: DimensionEntry, provenance: str) -> SizeValueEntry | None:
    name = dimension.code
    stands = fields.given(name)
    if stands is None:
        return None
    if stands == NOT_APPLICABLE:
        return SizeValueEntry(dimension=name, provenance=provenance, applies=False)
    if dimension.measure == "length":
        found = read_range(fields, name)
        if found is None or not _within_span(fields, dimension, *found):
            return None
        return SizeValueEntry(
            dimension=name, provenance=provenance, lower_nm=found.lower_nm, upper_nm=found.upper_nm
        )
    if dimension.measure == "count":
        count = read_count(fields, name)
        if count is None or not _within_span(fields, dimension, count, count):
            return None
        return SizeValueEntry(dimension=name, provenance=provenance, count=count)
    labels = [choice.value for choice in dimension.choices]
    if stands not in labels:
        expected = f"one of {', '.join(labels)}"
        fields.refuse(name, stands, expected, "unknown_choice", nearest_name(str(stands), labels))
    return SizeValueEntry(dimension=name, provenance=provenance, choice=str(stands))


def _within_span(fields: EntryFields, dimension: DimensionEntry, lower: int, upper: int) -> bool:
    least, most = dimension.span_lower, dimension.span_upper
    if least is None or most is None or least <= lower <= upper <= most:
        return True
    expected = f"a value within the dimension's span, {_span_text(dimension, least, most)}"
    fields.refuse(dimension.code, fields.given(dimension.code), expected, "out_of_span")
    return False


def _span_text(dimension: DimensionEntry, least: int, most: int) -> str:
    if dimension.measure == "count":
        return f"{least} to {most}"
    return f"{least / 1_000_000:g} to {most / 1_000_000:g} mm"
