"""HTTP of access keys and of the log of changes; all of it needs the scope `admin`."""

from datetime import UTC, datetime
from typing import Annotated, Any, Final

from pydantic import Field

from api.access import store
from api.access.change_keys import key_path, make_logged_key, revoke_logged_key
from api.access.log_changes import list_changes
from api.access.manage_keys import TooManyKeys, require_key
from api.access.shapes import (
    AccessKeyAnswer,
    AccessKeyRequest,
    AuditEntryAnswer,
    NewAccessKeyAnswer,
    audit_answer,
    key_answer,
    new_key_answer,
)
from api.access.tables import HOLDER_LENGTH
from api.database import Database, WriteSession
from api.wire.inputs import read_value
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.paging import ListQuery, page
from api.wire.shapes import Page
from api.wire.writing import WriteFacts, WriteRules, Written

KEYS: Final = "/v1/access-keys"
ENTRIES: Final = "/v1/audit-entries"
_KEY_ID: Final = PathName("id of a key, or its part that may be shown", "startwright_k7dm2qxz")


class KeyQuery(ListQuery):
    """Which keys."""

    holder: Annotated[
        str | None, Field(min_length=1, max_length=HOLDER_LENGTH, description="who uses it")
    ] = None


class AuditQuery(ListQuery):
    """Which changes."""

    noun: Annotated[
        str | None, Field(min_length=1, max_length=64, description="of what, such as `supplier`")
    ] = None
    name: Annotated[
        str | None,
        Field(min_length=1, max_length=400, description="of which, such as `/v1/suppliers/ruddlefold`"),
    ] = None


@operation(
    Operation(
        "GET",
        KEYS,
        "list_access_keys",
        "access",
        "Access keys, the oldest first, without what makes them keys",
        Page[AccessKeyAnswer],
        query=KeyQuery,
        needs="admin",
    )
)
def list_access_keys(query: KeyQuery, database: Database) -> Page[AccessKeyAnswer]:
    """Answer the keys."""
    after = query.after(KEYS)
    with database.read() as reads:
        keys, total = store.list_keys_by_age(reads, query.holder, after, query.limit + 1)
    now = datetime.now(UTC)
    return page(KEYS, query, keys, total, lambda key: key.id, lambda key: key_answer(key, now))


@operation(
    Operation(
        "GET",
        f"{KEYS}/{{id}}",
        "get_access_key",
        "access",
        "One access key",
        AccessKeyAnswer,
        path_names={"id": _KEY_ID},
        needs="admin",
    )
)
def get_access_key(id: str, database: Database) -> AccessKeyAnswer:
    """Answer one key."""
    with database.read() as reads:
        key = require_key(reads, id)
    return key_answer(key, datetime.now(UTC))


@operation(
    Operation(
        "POST",
        KEYS,
        "make_access_key",
        "access",
        "Make an access key; it is shown this once",
        NewAccessKeyAnswer,
        body=AccessKeyRequest,
        problems=(TooManyKeys,),
        links={"revoke": Link("revoke_access_key", {"id": "$response.body#/id"})},
        writes=WriteRules(scope="admin", creates=True),
        example={"holder": "Front counter", "scopes": ["catalogue", "prices"], "days": 365},
    )
)
def post_access_key(writes: WriteSession, facts: WriteFacts, value: Any) -> Written:
    """Make a key; its text is in the first answer and in no other, and nowhere else."""
    asked = read_value(value, AccessKeyRequest)
    now = datetime.now(UTC)
    new, kept = make_logged_key(writes, facts, asked.holder, asked.scopes, asked.days, now)
    silent = new_key_answer(kept, None, now)
    return Written(
        status=201,
        answer=silent if facts.validate_only else new_key_answer(kept, new.text, now),
        location=key_path(kept),
        kept=silent,
    )


@operation(
    Operation(
        "POST",
        f"{KEYS}/{{id}}/revocation",
        "revoke_access_key",
        "access",
        "Revoke an access key from now on, for every worker; one that is revoked stays as it is",
        AccessKeyAnswer,
        path_names={"id": _KEY_ID},
        writes=WriteRules(scope="admin", conditional=False),
    )
)
def post_revocation(writes: WriteSession, facts: WriteFacts, id: str) -> Written:
    """Revoke a key."""
    now = datetime.now(UTC)
    key = revoke_logged_key(writes, facts, id, now)
    return Written(status=200, answer=key_answer(key, now))


@operation(
    Operation(
        "GET",
        ENTRIES,
        "list_audit_entries",
        "access",
        "Every change, the latest first: who, when, before, after",
        Page[AuditEntryAnswer],
        query=AuditQuery,
        needs="admin",
    )
)
def list_audit_entries(query: AuditQuery, database: Database) -> Page[AuditEntryAnswer]:
    """Answer the changes that match every filter given."""
    after = query.after(ENTRIES)
    with database.read() as reads:
        rows, total = list_changes(reads, query.noun, query.name, after, query.limit + 1)
    return page(ENTRIES, query, rows, total, lambda row: str(row.id), audit_answer)


ROUTES = (list_access_keys, get_access_key, post_access_key, post_revocation, list_audit_entries)
