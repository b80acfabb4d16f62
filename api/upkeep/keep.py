"""Create, replace or change one thing of the catalogue: checked, kept, noted, and the version grown."""

from collections.abc import Mapping
from typing import Any

import msgspec
from pydantic import BaseModel
from sqlalchemy import Row

from api.access.log_changes import Action, log_change
from api.database import ReadSession, WriteSession
from api.errors import FieldFault, InvalidInput, UnknownCode, shown
from api.upkeep.merge_patch import merge_patch
from api.upkeep.noun import Address, Entry, Noun
from api.upkeep.read_entry import WITHDRAWN_ON, read_entry
from api.wear_parts.catalogue_version import grow_version, lock_version
from api.wire.conditions import check_conditions
from api.wire.entity_tags import tag_of
from api.wire.inputs import read_value
from api.wire.writing import WriteFacts, Written

_encode = msgspec.json.Encoder().encode


def create(
    noun: Noun[Entry], writes: WriteSession, facts: WriteFacts, value: Any, owners: Mapping[str, str]
) -> Written:
    """Create what a body states beneath its owners. Raises `InvalidInput` (every fault), `AlreadyKnown`."""
    lock_version(writes)
    entry, withdrawn_on = read_entry(noun, writes, value, owners)
    noun.refuse(writes, entry, None)
    if withdrawn_on is None:
        noun.refuse_standing(writes, entry, None)
    row = _row(noun, writes, noun.add(writes, entry))
    if withdrawn_on is not None:
        noun.set_withdrawn(writes, row, withdrawn_on)
        row = _row(noun, writes, noun.address(row))
    return _done(noun, writes, facts, row, before=None, action="create")


def replace(
    noun: Noun[Entry],
    writes: WriteSession,
    facts: WriteFacts,
    address: Address,
    value: Any,
    owners: Mapping[str, str],
) -> Written:
    """Put what a body states in place of what stands at an address, if it is in the state that was named."""
    lock_version(writes)
    row = _row(noun, writes, address)
    return _keep(noun, writes, facts, row, value, owners, noun.model)


def change(
    noun: Noun[Entry],
    writes: WriteSession,
    facts: WriteFacts,
    address: Address,
    patch: Any,
    owners: Mapping[str, str],
) -> Written:
    """Change by a merge patch (RFC 7396) what stands at an address, if it is in the state that was named."""
    lock_version(writes)
    row = _row(noun, writes, address)
    if not isinstance(patch, Mapping):
        expected = "an object with the members to change"
        raise InvalidInput.of([FieldFault((), shown(patch), expected, "model_type")])
    present = {**noun.entry(writes, row), WITHDRAWN_ON: row.withdrawn_on}
    merged = merge_patch({name: held for name, held in present.items() if held is not None}, patch)
    return _keep(noun, writes, facts, row, merged, owners, noun.patch_model, patch)


def _keep(
    noun: Noun[Entry],
    writes: WriteSession,
    facts: WriteFacts,
    row: Row[Any],
    value: Any,
    owners: Mapping[str, str],
    model: type[BaseModel],
    patch: Any = None,
) -> Written:
    """Keep `value`; `model` is that of the body, which is `patch` where it is not `value` itself."""
    before = _state(noun, writes, row)
    present = noun.answer(writes, row)
    conditions = (tag_of(present, _encode(present)), facts.if_match, facts.if_none_match)
    try:
        entry, withdrawn_on = read_entry(noun, writes, value, owners, kept=noun.entry(writes, row))
    except InvalidInput:
        # What is wrong by itself is told first (RFC 9110 13.2.1); what contradicts the stored state, or what
        # else is stored, is told to those alone who know that state.
        if _is_well_formed(value if patch is None else patch, model):
            check_conditions(*conditions)
        raise
    check_conditions(*conditions)
    noun.refuse(writes, entry, row)
    if withdrawn_on is None:
        noun.refuse_standing(writes, entry, row)
    noun.change(writes, row, entry)
    action: Action = "change"
    if withdrawn_on != row.withdrawn_on:
        noun.set_withdrawn(writes, row, withdrawn_on)
        action = "restore" if withdrawn_on is None else "withdraw"
    changed = _row(noun, writes, noun.address(row))
    return _done(noun, writes, facts, changed, before=before, action=action)


def _is_well_formed(body: Any, model: type[BaseModel]) -> bool:
    try:
        read_value(body, model)
    except InvalidInput:
        return False
    return True


def _row(noun: Noun[Entry], reads: ReadSession, address: Address) -> Row[Any]:
    row = noun.find(reads, address)
    if row is None:
        raise UnknownCode(noun.name, address[-1])
    return row


def _state(noun: Noun[Entry], reads: ReadSession, row: Row[Any]) -> dict[str, Any]:
    return {**noun.entry(reads, row), WITHDRAWN_ON: row.withdrawn_on}


def _done(
    noun: Noun[Entry],
    writes: WriteSession,
    facts: WriteFacts,
    row: Row[Any],
    *,
    before: dict[str, Any] | None,
    action: Action,
) -> Written:
    after = _state(noun, writes, row)
    path = noun.path(row)
    if before != after:
        version = grow_version(writes)
        log_change(writes, facts, action, noun.name, path, before, after, version)
    answer = noun.answer(writes, row)
    return Written(
        status=201 if before is None else 200,
        answer=answer,
        location=path if before is None else None,
        tag=tag_of(answer, _encode(answer)),
    )
