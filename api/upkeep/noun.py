"""What the catalogue's nouns have in common for whoever writes them: how each is found, checked and kept."""

from collections.abc import Callable, Mapping
from typing import Any, Generic, TypeVar

import attrs
from pydantic import BaseModel
from sqlalchemy import Row

from api.database import ReadSession, WriteSession
from api.errors import DomainError
from api.wire.writing import Scope

Entry = TypeVar("Entry")
Address = tuple[str, ...]
"""The names in a thing's path, in their order: a code, an id, a family and a position."""


@attrs.frozen
class AlreadyKnown(DomainError):
    """There is such a thing already, or one that it would clash with."""

    noun: str
    name: str
    why: str

    def explain(self) -> str:
        """Name the clash."""
        return f"The {self.noun} {self.name!r} cannot be kept: {self.why}."


@attrs.frozen(kw_only=True)
class Noun(Generic[Entry]):
    """One noun of the catalogue.

    `entry` gives a stored row back in the words of the catalogue's files, as `check` takes it beside what the
    path names above it; `fixed` are the members that make its address and never change. `check` is the
    files' own rule, given what the database knows; `refuse` raises `AlreadyKnown` for what the database alone
    can tell, `refuse_standing` what holds between things that are not withdrawn (asked when one is created,
    changed or restored, not of what is withdrawn); `problems` are what else they raise. `add` and `change`
    keep a checked entry; `answer` is what a GET of it answers. `model` says in the contract what an entry
    looks like, `patch_model` the same with nothing required.
    """

    name: str
    scope: Scope
    model: type[BaseModel]
    patch_model: type[BaseModel]
    fixed: tuple[str, ...]
    path: Callable[[Row[Any]], str]
    address: Callable[[Row[Any]], Address]
    find: Callable[[ReadSession, Address], Row[Any] | None]
    entry: Callable[[ReadSession, Row[Any]], dict[str, Any]]
    check: Callable[[ReadSession, Mapping[str, Any]], Entry]
    refuse: Callable[[ReadSession, Entry, Row[Any] | None], None]
    add: Callable[[WriteSession, Entry], Address]
    change: Callable[[WriteSession, Row[Any], Entry], None]
    set_withdrawn: Callable[[WriteSession, Row[Any], str | None], None]
    answer: Callable[[ReadSession, Row[Any]], Any]
    refuse_standing: Callable[[ReadSession, Entry, Row[Any] | None], None] = lambda reads, entry, kept: None
    problems: tuple[type[DomainError], ...] = ()
