"""What a dimension of a kind must be. Pure."""

from collections.abc import Mapping

from api.measurement.counts import GREATEST_COUNT
from api.measurement.ranges import parse_range
from api.measurement.refusals import RefusedValue
from api.wear_parts.entries import ChoiceEntry, DimensionEntry
from api.wear_parts.entry_fields import EntryFields
from api.wear_parts.length_ranges import read_length
from api.wear_parts.vocabulary import MEASURES, WAYS, WEAR_SENSES

DIMENSION_FIELDS = (
    "code",
    "name",
    "measure",
    "how",
    "place",
    "wear_sense",
    "wear_scale",
    "span",
    "slip_chance",
    "miscount_chance",
    "two_point_over",
    "origin",
    "choices",
)

_SPAN_EXAMPLES = {
    "length": "a span of two different lengths, such as '2 mm..60 mm'",
    "count": f"a span of two whole numbers, such as [6, 20], within 0 to {GREATEST_COUNT}",
}


def check_dimension(entry: Mapping[str, object]) -> DimensionEntry:
    """Return the dimension that an entry states.

    Only lengths wear, and what wears has a scale; a length has a span of two lengths, a count one of
    two whole numbers, a choice none but two values at least; only a length is measured across two
    points. Raises `InvalidInput` with all faults.
    """
    fields = EntryFields(entry, DIMENSION_FIELDS)
    measure = fields.one_of("measure", MEASURES)
    sense = fields.one_of("wear_sense", WEAR_SENSES)
    lower, upper = _span(fields, measure)
    dimension = DimensionEntry(
        code=fields.word("code"),
        name=fields.text("name"),
        measure=measure,
        how=fields.one_of("how", WAYS),
        place=fields.text("place", prose=True),
        wear_sense=sense,
        wear_scale_nm=_wear_scale(fields, measure, sense),
        span_lower=lower,
        span_upper=upper,
        slip_chance=fields.chance("slip_chance"),
        miscount_chance=fields.chance("miscount_chance"),
        two_point_over=fields.optional_text("two_point_over"),
        origin=fields.text("origin", prose=True),
        choices=_choices(fields, measure),
    )
    if measure != "length":
        _not_given(fields, "two_point_over", "only for a length")
    fields.settle()
    return dimension


def _wear_scale(fields: EntryFields, measure: str, sense: str) -> int | None:
    if sense not in WEAR_SENSES:
        return None
    if sense == "none":
        _not_given(fields, "wear_scale", "no scale where nothing wears")
        return None
    if measure != "length":
        fields.refuse("wear_sense", sense, "none, since only a length wears", "not_applicable")
        return None
    return read_length(fields, "wear_scale")


def _span(fields: EntryFields, measure: str) -> tuple[int | None, int | None]:
    span = fields.given("span")
    if measure == "choice":
        _not_given(fields, "span", "no span for a choice")
    elif span is None and measure in _SPAN_EXAMPLES:
        fields.refuse("span", "", _SPAN_EXAMPLES[measure], "missing")
    elif measure == "length":
        try:
            lower, upper = parse_range(span) if isinstance(span, str) else (0, 0)
        except RefusedValue as refused:
            fields.measured("span", refused)
            return None, None
        if lower < upper:
            return lower, upper
        fields.refuse("span", span, _SPAN_EXAMPLES[measure], "bad_span")
    elif measure == "count":
        if _is_count_span(span):
            return int(span[0]), int(span[1])
        fields.refuse("span", span, _SPAN_EXAMPLES[measure], "bad_span")
    return None, None


def _is_count_span(span: object) -> bool:
    if not isinstance(span, list) or len(span) != 2:
        return False
    if any(isinstance(end, bool) or not isinstance(end, int) for end in span):
        return False
    return bool(0 <= span[0] < span[1] <= GREATEST_COUNT)


def _choices(fields: EntryFields, measure: str) -> tuple[ChoiceEntry, ...]:
    if measure != "choice":
        _not_given(fields, "choices", "choices only for a choice")
        return ()
    items = fields.mappings("choices")
    choices: list[ChoiceEntry] = []
    for place, item in enumerate(items):
        inner = EntryFields(item, ("value", "label"))
        choice = ChoiceEntry(inner.word("value"), inner.text("label"))
        if any(choice.value == other.value for other in choices):
            inner.refuse("value", choice.value, "a value not used before", "duplicate")
        fields.absorb(inner, "choices", place)
        choices.append(choice)
    if len(items) < 2:
        fields.refuse("choices", f"{len(items)} choices", "two choices at least", "too_few")
    return tuple(choices)


def _not_given(fields: EntryFields, name: str, expected: str) -> None:
    if fields.given(name) is not None:
        fields.refuse(name, fields.given(name), expected, "not_applicable")
