"""From a body to a checked entry: what the contract says of its members, and what the rules say."""

from collections.abc import Mapping
from typing import Any, Final

from api.database import ReadSession
from api.errors import FieldFault, InvalidInput, shown
from api.offers.days import today
from api.upkeep.noun import Entry, Noun
from api.wear_parts.entry_fields import EntryFields
from api.wire.inputs import MOST_FAULTS, read_value

WITHDRAWN_ON: Final = "withdrawn_on"
"""The member that withdraws a thing, from today or as of a day before, or (null) restores it."""


def read_entry(
    noun: Noun[Entry],
    reads: ReadSession,
    value: Any,
    owners: Mapping[str, str],
    kept: Mapping[str, Any] | None = None,
) -> tuple[Entry, str | None]:
    """Return the entry that a body states, and from which day it is withdrawn, if it is.

    `owners` are what its path names above it, in the rule's words; `kept` is the present entry, whose fixed
    members may not change. Raises `InvalidInput` with every fault: where both the contract and a rule refuse
    a member, the contract's word counts.
    """
    faults: list[FieldFault] = []
    try:
        read_value(value, noun.model)
    except InvalidInput as refused:
        faults += refused.faults
    if not isinstance(value, Mapping):
        raise InvalidInput.of(faults)
    members = {name: held for name, held in value.items() if held is not None}
    withdrawn_on = None
    own = {name: held for name, held in members.items() if name == WITHDRAWN_ON}
    fields = EntryFields(own, (WITHDRAWN_ON,))
    if own:
        withdrawn_on = fields.optional_day(WITHDRAWN_ON)
        if fields.sound and str(withdrawn_on) > (present := today().isoformat()):
            expected = f"today ({present} in UTC) or a day before: a thing is withdrawn when it is said"
            fields.refuse(WITHDRAWN_ON, withdrawn_on, expected, "future_day")
    faults += _new(_faults_of(fields), faults)
    rest = {name: held for name, held in members.items() if name != WITHDRAWN_ON}
    faults += _new(_changed_names(noun, rest, kept), faults)
    entry = None
    try:
        entry = noun.check(reads, {**rest, **owners})
    except InvalidInput as refused:
        faults += _new(refused.faults, faults)
    if faults or entry is None:
        raise InvalidInput.of(faults[:MOST_FAULTS])
    return entry, withdrawn_on


def _faults_of(fields: EntryFields) -> tuple[FieldFault, ...]:
    try:
        fields.settle()
    except InvalidInput as refused:
        return refused.faults
    return ()


def _changed_names(
    noun: Noun[Entry], members: Mapping[str, Any], kept: Mapping[str, Any] | None
) -> tuple[FieldFault, ...]:
    """Return a fault for every fixed member that would change."""
    if kept is None:
        return ()
    return tuple(
        FieldFault((name,), shown(members[name]), f"{kept[name]}: it names what it is", "never_changes")
        for name in noun.fixed
        if name in members and members[name] != kept[name]
    )


def _new(found: tuple[FieldFault, ...], known: list[FieldFault]) -> list[FieldFault]:
    places = {fault.path for fault in known}
    return [fault for fault in found if fault.path not in places]
