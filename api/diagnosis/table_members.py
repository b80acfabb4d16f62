"""Reads members of a data file's tables; every fault is named with key and what was expected."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from api.diagnosis.knowledge import Origin, OriginKind
from api.errors import FieldFault, InvalidInput, shown
from api.measurement.refusals import nearest_name

Reader = Callable[[object], Any]
"""Takes a raw value and returns what it states, or raises `InvalidInput` with paths from there."""

PUBLISHED = "published: "
ORIGINS: Final[Mapping[str, OriginKind]] = {"judgement": "judgement", "common practice": "common_practice"}


def refuse(value: object, expected: str, code: str, nearest: str | None = None) -> InvalidInput:
    """Return the refusal of a value."""
    return InvalidInput.of([FieldFault((), shown(value), expected, code, nearest)])


def collect(parts: Iterable[tuple[str | int, Reader, object]]) -> dict[Any, Any]:
    """Return what each part states by its key; all parts are read before any fault is raised."""
    read: dict[str | int, Any] = {}
    faults: list[FieldFault] = []
    for key, reader, value in parts:
        try:
            read[key] = reader(value)
        except InvalidInput as refused:
            faults.extend(fault.beneath(key) for fault in refused.faults)
    if faults:
        raise InvalidInput.of(faults)
    return read


def table(optional: Mapping[str, Any] | None = None, **readers: Reader) -> Reader:
    """Return a reader of a table of exactly these members; `optional` stands for those left out."""
    may_lack = optional or {}

    def read(value: object) -> Any:
        if not isinstance(value, dict):
            raise refuse(value, f"a table of {', '.join(readers)}", "wrong_type")
        given = [(name, readers.get(name, _unknown(name, readers)), value[name]) for name in value]
        lacking = [(name, _missing, "") for name in readers if name not in value and name not in may_lack]
        return {**may_lack, **collect([*given, *lacking])}

    return read


def _unknown(name: str, known: Iterable[str]) -> Reader:
    def refuse_it(value: object) -> Any:
        raise refuse(name, f"one of {', '.join(known)}", "unknown", nearest_name(name, known))

    return refuse_it


def _missing(value: object) -> Any:
    raise refuse(value, "a value", "missing")


def rows(reader: Reader, least: int = 0) -> Reader:
    """Return a reader of a list of at least so many."""

    def read(value: object) -> Any:
        if not isinstance(value, list) or len(value) < least:
            raise refuse(value, f"a list of at least {least}", "wrong_type")
        return tuple(collect((index, reader, row) for index, row in enumerate(value)).values())

    return read


def text(value: object) -> str:
    """Read a text that is not blank."""
    if not isinstance(value, str) or not value.strip():
        raise refuse(value, "a text", "wrong_type")
    return value


def truth(value: object) -> bool:
    """Read true or false."""
    if not isinstance(value, bool):
        raise refuse(value, "true or false", "wrong_type")
    return value


def number(value: object) -> float:
    """Read a number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise refuse(value, "a number", "wrong_type")
    return float(value)


def positive(value: object) -> float:
    """Read a number above zero."""
    read = number(value)
    if not 0 < read < float("inf"):
        raise refuse(value, "a number above 0", "out_of_range")
    return read


def one_of(*known: Any) -> Reader:
    """Return a reader of one of some words or numbers."""

    def read(value: object) -> Any:
        if isinstance(value, bool) or value not in known:
            near = nearest_name(value, [str(one) for one in known]) if isinstance(value, str) else None
            raise refuse(value, "one of " + ", ".join(map(str, known)), "unknown", near)
        return value

    return read


def origin(value: object) -> Origin:
    """Read an origin: "published: SOURCE", "judgement" or "common practice", more in brackets."""
    told = text(value)
    if told.startswith(PUBLISHED) and told.removeprefix(PUBLISHED).strip():
        return Origin("published", told.removeprefix(PUBLISHED))
    for word, kind in ORIGINS.items():
        if told == word or (told.startswith(f"{word} (") and told.endswith(")")):
            return Origin(kind, told.removeprefix(word)[2:-1])
    raise refuse(value, 'an origin: "judgement", "common practice" or "published: SOURCE"', "unknown_origin")
