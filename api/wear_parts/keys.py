"""The keys by which callers name things: codes for people, ids for programs."""

import re
from collections.abc import Iterable
from typing import Final

from api.errors import UnknownCode
from api.wire.inputs import nearest

CODE: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_ID: Final = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
KEY_SEPARATOR: Final = "\n"
"""Stands between maker and number in a cursor's key; neither can hold it."""


def require_id(noun: str, given: str) -> str:
    """Return an id (36 characters of UUID; capitals are taken) or raise `UnknownCode`."""
    lowered = given.lower() if len(given) == 36 else ""
    if _ID.fullmatch(lowered) is None:
        raise UnknownCode(noun, given)
    return lowered


def is_code(given: str) -> bool:
    """Tell whether a text has the shape of a code, so that a database may be asked for it."""
    return CODE.fullmatch(given) is not None


def unknown_code(noun: str, given: str, known: Iterable[str]) -> UnknownCode:
    """Return the refusal of a code that is not among `known`, with the nearest that is."""
    by_folded = {code.casefold(): code for code in known}
    near = nearest(given.casefold(), by_folded)
    return UnknownCode(noun, given, by_folded[near] if near else None)


def join_key(maker: str, number: str) -> str:
    """Return a cursor's key for an item that lists order by maker code and number."""
    return f"{maker}{KEY_SEPARATOR}{number}"


def split_key(key: str) -> tuple[str, str]:
    """Return maker code and number of a cursor's key."""
    maker, _, number = key.partition(KEY_SEPARATOR)
    return maker, number
