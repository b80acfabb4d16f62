"""Reading JSON strictly: no duplicate keys, no NaN, no absurd numbers, no bottomless nesting."""

import json
import math
from typing import Any, Final, NoReturn

from api.errors import shown
from api.wire.refusals import UnreadableBody

LONGEST_NUMBER: Final = 40
"""Most characters a JSON number may have (our judgement: no quantity here needs more)."""


def read_json(text: bytes) -> Any:
    """Return the value that a JSON text (RFC 8259, UTF-8) holds.

    Raises `UnreadableBody` for anything else, and for what RFC 8259 leaves open and we refuse:
    duplicate member names, NaN and infinities, numbers of more than `LONGEST_NUMBER` characters or
    beyond what a double holds, NUL characters, nesting deeper than the interpreter follows.
    """
    try:
        words = text.decode("utf-8")
    except UnicodeDecodeError as error:
        raise UnreadableBody(f"byte {error.start} is not UTF-8") from None
    try:
        value = json.loads(
            words,
            object_pairs_hook=_members,
            parse_constant=_refuse_constant,
            parse_int=_whole,
            parse_float=_real,
        )
        if "\\u" in words:
            _check_texts(value)
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
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]  # add gives nothing
        raise UnreadableBody(f"the member {shown(twice)!r} stands twice in one object")
    return members


def _refuse_constant(word: str) -> NoReturn:
    raise UnreadableBody(f"{word} is not a JSON number")


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise UnreadableBody(f"a number has more than {LONGEST_NUMBER} characters")
    return int(digits)


def _real(digits: str) -> float:
    number = float(digits)
    if len(digits) > LONGEST_NUMBER or not math.isfinite(number):
        raise UnreadableBody(f"the number {shown(digits)} is longer or larger than is taken")
    return number


def _check_texts(value: Any) -> None:
    """Refuse texts that no database stores; only an escape can have brought them in."""
    if isinstance(value, str):
        if "\0" in value:
            raise UnreadableBody("a text holds a NUL character")
        if any("\ud800" <= char <= "\udfff" for char in value):
            raise UnreadableBody("a text holds half of a surrogate pair")
    elif isinstance(value, dict):
        for name, member in value.items():
            _check_texts(name)
            _check_texts(member)
    elif isinstance(value, list):
        for item in value:
            _check_texts(item)
