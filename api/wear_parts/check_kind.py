"""What a kind of wear part must be. Pure.

An entry has the members of `KIND_FIELDS`; its `dimension` is a list of entries of `check_dimension`.
Faults carry the path to the member: `("dimension", 3, "wear_scale")`.
"""

from collections.abc import Mapping

from api.errors import FieldFault, InvalidInput, shown
from api.wear_parts.check_dimension import check_dimension
from api.wear_parts.entries import DimensionEntry, KindEntry
from api.wear_parts.entry_fields import EntryFields

KIND_FIELDS = ("code", "name", "description", "model_version", "unlisted_prior", "dimension")


def check_kind(entry: Mapping[str, object]) -> KindEntry:
    """Return the kind that an entry states.

    It has one dimension at least, no code twice; `two_point_over` names one of its counts. Raises
    `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, KIND_FIELDS)
    prior = fields.mapping("unlisted_prior", ("value", "origin"))
    kind = KindEntry(
        code=fields.word("code"),
        name=fields.text("name"),
        description=fields.text("description", prose=True),
        model_version=fields.code("model_version"),
        unlisted_prior=prior.chance("value"),
        unlisted_prior_origin=prior.text("origin", prose=True),
        dimensions=tuple(_dimensions(fields)),
    )
    fields.absorb(prior, "unlisted_prior")
    fields.settle()
    return kind


def _dimensions(fields: EntryFields) -> list[DimensionEntry]:
    items = fields.mappings("dimension")
    if not items and fields.given("dimension") in (None, []):
        fields.refuse("dimension", "", "one dimension at least", "missing")
    found: list[tuple[int, DimensionEntry]] = []
    for place, item in enumerate(items):
        try:
            dimension = check_dimension(item)
        except InvalidInput as refused:
            fields.take(refused.faults, "dimension", place)
            continue
        if any(dimension.code == other.code for _, other in found):
            fault = FieldFault(("code",), shown(dimension.code), "a code not used before", "duplicate")
            fields.take((fault,), "dimension", place)
        found.append((place, dimension))
    dimensions = [dimension for _, dimension in found]
    if len(found) == len(items):
        counts = [dimension.code for dimension in dimensions if dimension.measure == "count"]
        for place, dimension in found:
            over = dimension.two_point_over
            if over is not None and over not in counts:
                fault = FieldFault(("two_point_over",), over, "a count of the same kind", "unknown_dimension")
                fields.take((fault,), "dimension", place)
    return dimensions
