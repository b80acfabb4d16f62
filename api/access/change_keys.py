"""Make and revoke access keys so that the log of changes tells of it; never of the key itself."""

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from uuid_utils import uuid7

from api.access.judge_key import StoredKey
from api.access.keys import ADMIN, NewKey
from api.access.log_changes import log_change
from api.access.manage_keys import make_access_key, require_key, revoke_access_key
from api.access.moments import write_moment
from api.database import WriteSession
from api.wire.writing import Caller, WriteFacts, WriteRules

NOUN: Final = "access key"
COMMAND_LINE: Final = "command line"
"""Stands in the log where a change came from no address."""


def key_path(key: StoredKey) -> str:
    """Return where a key stands."""
    return f"/v1/access-keys/{key.id}"


def make_logged_key(
    writes: WriteSession, facts: WriteFacts, holder: str, scopes: Sequence[str], days: int, now: datetime
) -> tuple[NewKey, StoredKey]:
    """Make a key as `make_access_key` does, and note who made it."""
    new, kept = make_access_key(writes, holder, scopes, days, now)
    log_change(writes, facts, "create", NOUN, key_path(kept), None, _told(kept))
    return new, kept


def revoke_logged_key(writes: WriteSession, facts: WriteFacts, name: str, now: datetime) -> StoredKey:
    """Revoke a key as `revoke_access_key` does, and note who did, unless it was revoked before."""
    before = require_key(writes, name)
    after = revoke_access_key(writes, before.id, now)
    if before.revoked_at is None:
        log_change(writes, facts, "revoke", NOUN, key_path(after), _told(before), _told(after))
    return after


def on_command_line() -> WriteFacts:
    """Return what the log is told of a change that came from the command line: no holder, no key."""
    rules = WriteRules(scope=ADMIN, creates=False)
    caller = Caller(COMMAND_LINE)
    return WriteFacts(method="", path="", body=b"", caller=caller, request_id=str(uuid7()), rules=rules)


def _told(key: StoredKey) -> dict[str, object]:
    """Return what the log tells of a key; its digest is left out as well, since nobody needs it there."""
    return {
        "shown": key.shown,
        "holder": key.holder,
        "scopes": list(key.scopes),
        "made_at": write_moment(key.made_at),
        "expires_at": write_moment(key.expires_at),
        "revoked_at": None if key.revoked_at is None else write_moment(key.revoked_at),
    }
