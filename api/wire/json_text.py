"""Reading JSON strictly: no duplicate keys, no NaN, no absurd numbers, no bottomless nesting."""

import json
import math
from typing import Any, Final

import attrs

from api.errors import pointer, shown
from api.wire.refusals import UnreadableBody

LONGEST_NUMBER: Final = 40
"""Most characters a JSON number may have (our judgement: no quantity here needs more)."""


@attrs.frozen
class _NotTaken:
    """Stands in a value for a number that is refused, until it is known where that stands."""

    why: str


def read_json(text: bytes) -> Any:
    """Return the value that a JSON text (RFC 8259, UTF-8) holds.

    Raises `UnreadableBody` for anything else, and for what RFC 8259 leaves open and we refuse:
    duplicate member names, NaN and infinities, numbers of more than `LONGEST_NUMBER` characters or
    beyond what a double holds, NUL characters, nesting deeper than the interpreter follows. Numbers and
    texts are named by their JSON pointer.
    """
    try:
        words = text.decode("utf-8")
    except UnicodeDecodeError as error:
        raise UnreadableBody(f"byte {error.start} is not UTF-8") from None
    refused: list[_NotTaken] = []

    def taken(number: float | _NotTaken) -> float | _NotTaken:
        if isinstance(number, _NotTaken):
            refused.append(number)
        return number

    try:
        value = json.loads(
            words,
            object_pairs_hook=_members,
            parse_constant=lambda word: taken(_NotTaken(f"{word} is not a JSON number")),
            parse_int=lambda digits: taken(_whole(digits)),
            parse_float=lambda digits: taken(_real(digits)),
        )
        if refused or "\\u" in words:
            _check(value, ())
    except RecursionError:
        raise UnreadableBody("it is nested too deep") from None
    except json.JSONDecodeError as error:
        what = error.msg.removesuffix(" at")
        raise UnreadableBody(f"{what} at line {error.lineno} column {error.colno}") from None
    return value


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise UnreadableBody(f"the member {shown(name)!r} stands twice in one object")
            seen.add(name)
    return members


def _whole(digits: str) -> int | _NotTaken:
    if len(digits) > LONGEST_NUMBER:
        return _NotTaken(f"a number has more than {LONGEST_NUMBER} characters")
    return int(digits)


def _real(digits: str) -> float | _NotTaken:
    number = float(digits)
    if len(digits) > LONGEST_NUMBER or not math.isfinite(number):
        return _NotTaken(f"the number {shown(digits)} is longer or larger than is taken")
    return number


def _check(value: Any, path: tuple[str | int, ...]) -> None:
    """Refuse numbers that are not taken, and texts that no database stores (an escape brings them in)."""
    if isinstance(value, _NotTaken):
        raise UnreadableBody(f"{value.why}, at {shown(pointer(path))}")
    if isinstance(value, str):
        if "\0" in value:
            raise UnreadableBody(f"a text holds a NUL character, at {shown(pointer(path))}")
        if any("\ud800" <= char <= "\udfff" for char in value):
            raise UnreadableBody(f"a text holds half of a surrogate pair, at {shown(pointer(path))}")
    elif isinstance(value, dict):
        for name, member in value.items():
            _check(name, (*path, name))
            _check(member, (*path, name))
    elif isinstance(value, list):
        for place, item in enumerate(value):
            _check(item, (*path, place))
