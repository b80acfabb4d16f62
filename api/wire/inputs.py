"""From a request to checked values: every fault at once, each with its place and what was expected."""

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any, Final, TypeVar
from urllib.parse import parse_qsl

import attrs
from pydantic import BaseModel, ConfigDict, ValidationError
from rapidfuzz import process

from api.errors import FieldFault, InvalidInput, shown
from api.money.amounts import AMOUNT_PATTERN
from api.money.fractions import RATE_PATTERN, RATE_WORDS
from api.wire.json_text import read_json
from api.wire.refusals import MediaTypeNotTaken

Model = TypeVar("Model", bound=BaseModel)

NOT_BLANK: Final = r"\S"
"""The pattern of a text that says something."""
MOST_PARAMETERS: Final = 60
MOST_FAULTS: Final = 100
"""Most faults that one answer names (our judgement)."""

NEAR_ENOUGH: Final = 60.0
"""Least similarity (percent) at which a known name is suggested (our judgement)."""


class Request(BaseModel):
    """The root of every request model: unknown members refused, values never changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class NoQuery(Request):
    """The query of a path that takes no parameters."""


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name most like `name`, or nothing where none is near."""
    found = process.extractOne(name[:100], list(known), score_cutoff=NEAR_ENOUGH)
    return str(found[0]) if found else None


def read_body(text: bytes, content_type: str, model: type[Model]) -> Model:
    """Read a JSON body into `model`.

    Raises `MediaTypeNotTaken`, `UnreadableBody`, or `InvalidInput` with every fault found.
    """
    check_media_type(content_type)
    return read_value(read_json(text), model)


def check_media_type(content_type: str) -> None:
    """Raise `MediaTypeNotTaken` unless a body says that it is JSON."""
    media_type = content_type.split(";")[0].strip().lower()
    if media_type != "application/json" and not media_type.endswith("+json"):
        raise MediaTypeNotTaken(shown(media_type or "nothing"))


def read_value(value: object, model: type[Model]) -> Model:
    """Read a JSON value into `model`; raises `InvalidInput` with every fault found.

    A model may have a class method `contradictions` that finds faults between the members of the value as
    it came; they are named beside those of single members.
    """
    contradictions: Callable[[object], list[FieldFault]] = getattr(model, "contradictions", lambda _: [])
    between = contradictions(value)
    try:
        read = model.model_validate(value, strict=True)
    except ValidationError as error:
        faults = _faults(error, value, model)
        places = {fault.path for fault in faults}
        more = [fault for fault in between if fault.path not in places]
        raise InvalidInput.of([*faults, *more][:MOST_FAULTS]) from None
    if between:
        raise InvalidInput.of(between[:MOST_FAULTS])
    return read


def read_query(query: bytes, model: type[Model]) -> Model:
    """Read a query string into `model`; raises `InvalidInput` with every fault found."""
    return read_parameter_values(read_parameters(query), model)


def read_parameter_values(parameters: Mapping[str, str], model: type[Model]) -> Model:
    """Read parameters into `model`; raises `InvalidInput` with every fault found."""
    try:
        return model.model_validate(parameters)
    except ValidationError as error:
        raise InvalidInput.of(_faults(error, parameters, model)) from None


def read_parameters(query: bytes) -> dict[str, str]:
    """Split a query string into parameters; raises `InvalidInput` for one given twice or unreadable."""
    try:
        pairs = parse_qsl(
            query.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=MOST_PARAMETERS
        )
    except UnicodeError:
        raise InvalidInput.of([FieldFault(("query",), "…", "percent-encoded UTF-8", "not_utf8")]) from None
    except ValueError:
        expected = f"at most {MOST_PARAMETERS} parameters"
        raise InvalidInput.of([FieldFault(("query",), "…", expected, "too_many")]) from None
    faults = []
    parameters: dict[str, str] = {}
    for name, value in pairs:
        if name in parameters:
            faults.append(FieldFault((shown(name),), shown(value), "to be given once", "repeated"))
        elif "\0" in value or "\0" in name:
            faults.append(FieldFault((shown(name),), shown(value), "text without NUL characters", "nul"))
        parameters[name] = value
    if faults:
        raise InvalidInput.of(faults)
    return parameters


def _faults(error: ValidationError, value: Any, model: type[BaseModel]) -> list[FieldFault]:
    found = error.errors(include_url=False)
    return _joined([_fault(dict(one), value, model) for one in found[:MOST_FAULTS]])


def _joined(faults: list[FieldFault]) -> list[FieldFault]:
    """Join what the branches of a union say of one value.

    A value that has the form of one branch is told what is wrong by it alone, at the value or beneath; one
    that has the form of none is told every form in one fault.
    """
    formed = [fault.path for fault in faults if fault.code not in _FORMS]
    formless: dict[tuple[str | int, ...], list[FieldFault]] = {}
    for fault in faults:
        if fault.code in _FORMS:
            formless.setdefault(fault.path, []).append(fault)
    joined = []
    for fault in faults:
        alike = formless.get(fault.path, [])
        if fault.code not in _FORMS:
            joined.append(fault)
        elif fault is alike[0] and not any(path[: len(fault.path)] == fault.path for path in formed):
            words = list(dict.fromkeys(one.expected for one in alike))
            joined.append(
                attrs.evolve(fault, expected=" or ".join(filter(None, [", ".join(words[:-1]), words[-1]])))
            )
    return joined


def _fault(found: Mapping[str, Any], value: Any, model: type[BaseModel]) -> FieldFault:
    kind = str(found["type"])
    path = _real_path(found["loc"], value, keep_last=kind == "missing")
    if kind == "missing":
        return FieldFault(path, "", f"{path[-1]} to be given", "missing")
    if kind == "extra_forbidden":
        known = _members_at(found["loc"][:-1], model)
        near = nearest(str(path[-1]), known)
        expected = "one of " + ", ".join(sorted(known)) if known else "no such member"
        return FieldFault(_clean(path), shown(str(path[-1])), expected, "unknown", near)
    refused = found.get("input")
    text = refused if isinstance(refused, str | int | float) else _IN_JSON.get(type(refused), "")
    context = found.get("ctx") or {}
    choices = str(context.get("expected", "")).replace("'", "").replace(" or ", ", ").split(", ")
    near = nearest(refused, choices) if kind == "literal_error" and isinstance(refused, str) else None
    expected = _expected(found)
    if kind == "string_type" and (example := _example_at(path, model)) is not None:
        expected += f" such as {example!r}"
    return FieldFault(_clean(path), shown(text), expected, kind, near)


_IN_JSON: Final[Mapping[type, str]] = {type(None): "null", list: "a list", dict: "an object"}
"""What a value that is neither text nor number is called in JSON."""

_PLAIN_WORDS: Final[Mapping[str, str]] = {
    "int_parsing": "a whole number",
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "string_type": "a text",
    "list_type": "a list",
    "dict_type": "an object",
    "model_type": "an object",
    "too_long": "at most {max_length} items",
    "too_short": "at least {min_length}",
    "string_too_long": "at most {max_length} characters",
    "string_too_short": "at least {min_length} characters",
    "string_pattern_mismatch": "text of the form {pattern}",
}
"""What was expected, in our words, by pydantic's error type; `{name}` is of its context."""

_FORMS: Final = frozenset(
    {"int_type", "float_type", "bool_type", "string_type", "list_type", "dict_type", "model_type"}
)
"""Error types that say of a value that it is of another form altogether."""

_PATTERN_WORDS: Final[Mapping[str, str]] = {
    NOT_BLANK: "a text that is not blank",
    AMOUNT_PATTERN: "a decimal string with a point, such as '5.00'",
    RATE_PATTERN: RATE_WORDS,
}
"""What was expected where a pattern would say it worse."""


def _expected(found: Mapping[str, Any]) -> str:
    """Say what was expected; where we have no words of our own, turn pydantic's sentence round."""
    context = found.get("ctx") or {}
    words = _PLAIN_WORDS.get(str(found["type"]))
    if words is not None:
        return _PATTERN_WORDS.get(str(context.get("pattern"))) or words.format(**context)
    message = str(found["msg"])
    for opening in ("Input should be ", "Value error, ", "Input should have "):
        if message.startswith(opening):
            return message[len(opening) :]
    return message[:1].lower() + message[1:]


def _clean(path: tuple[str | int, ...]) -> tuple[str | int, ...]:
    return tuple(step if isinstance(step, int) else shown(step) for step in path)


def _real_path(location: tuple[str | int, ...], value: Any, *, keep_last: bool) -> tuple[str | int, ...]:
    """Drop from a location the steps that name a branch of a union rather than a place in the value."""
    path: list[str | int] = []
    for index, step in enumerate(location):
        places = value if isinstance(value, Mapping) else range(len(value) if isinstance(value, list) else 0)
        if step in places:
            value = value[step]
        elif not (keep_last and index == len(location) - 1):
            continue
        path.append(step)
    return tuple(path)


@cache
def _schema(model: type[BaseModel]) -> dict[str, Any]:
    return model.model_json_schema(mode="validation")


def _members_at(location: tuple[str | int, ...], model: type[BaseModel]) -> list[str]:
    """Return the member names that a location in `model` knows, by walking its JSON schema."""
    branches = _branches_at(location, model)
    return list(dict.fromkeys(name for branch in branches for name in branch.get("properties", {})))


def _example_at(location: tuple[str | int, ...], model: type[BaseModel]) -> str | None:
    """Return the first example that the JSON schema of `model` gives of a text at a location."""
    given = (one for branch in _branches_at(location, model) for one in branch.get("examples", []))
    return next((one for one in given if isinstance(one, str)), None)


def _branches_at(location: tuple[str | int, ...], model: type[BaseModel]) -> list[dict[str, Any]]:
    """Return the JSON schema at a location in `model`, and the branches of it where it is a union."""
    schema = _schema(model)
    definitions = schema.get("$defs", {})
    for step in location:
        schema = _step_into(_resolve(schema, definitions), step, definitions)
    schema = _resolve(schema, definitions)
    return [
        schema,
        *[_resolve(branch, definitions) for branch in schema.get("anyOf", schema.get("oneOf", []))],
    ]


def _resolve(schema: dict[str, Any], definitions: dict[str, Any]) -> dict[str, Any]:
    reference = schema.get("$ref")
    return definitions[reference.rsplit("/", 1)[-1]] if reference else schema


def _step_into(schema: dict[str, Any], step: str | int, definitions: dict[str, Any]) -> dict[str, Any]:
    for branch in (schema, *schema.get("anyOf", []), *schema.get("oneOf", [])):
        resolved = _resolve(branch, definitions)
        if step in resolved.get("properties", {}):
            return dict(resolved["properties"][step])
        if isinstance(step, int) and "items" in resolved:
            return dict(resolved["items"])
        extra = resolved.get("additionalProperties")
        if isinstance(step, str) and isinstance(extra, dict):
            return dict(extra)
    return schema
