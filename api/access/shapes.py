"""Wire shapes of access keys and of the log of changes."""

from collections.abc import Mapping
from datetime import datetime
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta
from pydantic import Field
from sqlalchemy import Row

from api.access.judge_key import StoredKey
from api.access.log_changes import Action
from api.access.manage_keys import DAYS_OF_A_KEY, LONGEST_DAYS, key_faults
from api.access.moments import write_moment
from api.access.tables import HOLDER_LENGTH
from api.errors import FieldFault
from api.wire.inputs import NOT_BLANK, Request
from api.wire.shapes import Answer
from api.wire.writing import Scope

Id = Annotated[str, Meta(pattern="^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$")]
Moment = Annotated[
    str,
    Meta(
        pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z$",
        examples=["2026-11-25T13:49:13Z"],
    ),
]
Day = Annotated[str, Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", examples=["2026-11-25"])]


class AccessKeyRequest(Request):
    """A key to be made: who will use it, what for, how long."""

    holder: Annotated[
        str,
        Field(
            min_length=1,
            max_length=HOLDER_LENGTH,
            pattern=NOT_BLANK,
            description="who will use it, by a name",
        ),
    ]
    scopes: Annotated[
        list[Scope],
        Field(
            min_length=1,
            max_length=4,
            description="what for; `admin` holds the others",
            json_schema_extra={"uniqueItems": True},
        ),
    ]
    days: Annotated[int, Field(ge=1, le=LONGEST_DAYS, description="how long it lives")] = DAYS_OF_A_KEY

    @classmethod
    def contradictions(cls, value: object) -> list[FieldFault]:
        """Return what the rules of keys refuse of members that have the right type."""
        given = value if isinstance(value, Mapping) else {}
        holder, scopes = given.get("holder"), given.get("scopes")
        plain = isinstance(scopes, list) and all(isinstance(scope, str) for scope in scopes)
        return key_faults(holder if isinstance(holder, str) else None, scopes if plain else None, days=None)


class AccessKeyAnswer(Answer, frozen=True, kw_only=True):
    """An access key, without what makes it one."""

    id: Id
    shown: Annotated[str, Meta(description="the part that may be shown")]
    holder: str
    scopes: list[Scope]
    state: Literal["live", "revoked", "expired"]
    made_at: Moment
    expires_at: Moment
    revoked_at: Moment | None
    last_used_on: Annotated[Day, Meta(description="the day in UTC")] | None


class NewAccessKeyAnswer(AccessKeyAnswer, frozen=True, kw_only=True):
    """A key just made, with the key itself: it is shown this once and kept nowhere."""

    key: (
        Annotated[
            str,
            Meta(
                description="the key; null in the answer to a repeated request, which cannot show it again, "
                "and with validate_only, which makes none"
            ),
        ]
        | None
    )


class AuditEntryAnswer(Answer, frozen=True, kw_only=True):
    """One change: who made it, when and from where, of what, and the state before and after."""

    id: Id
    at: Moment
    holder: Annotated[str, Meta(description="of the key; null without one")] | None
    key_id: Annotated[str, Meta(description="of the key; null without one")] | None
    address: Annotated[str, Meta(description="the caller's, or `command line`")]
    request_id: str
    action: Action
    noun: Annotated[str, Meta(examples=["supplier"])]
    name: Annotated[str, Meta(description="where it stands", examples=["/v1/suppliers/ruddlefold"])]
    before: Annotated[dict[str, Any], Meta(description="null where it was created")] | None
    after: dict[str, Any] | None


def key_answer(key: StoredKey, now: datetime) -> AccessKeyAnswer:
    """Give a key its wire shape."""
    return AccessKeyAnswer(**_members(key, now))


def new_key_answer(key: StoredKey, text: str | None, now: datetime) -> NewAccessKeyAnswer:
    """Give a key just made its wire shape, with its text or (None) without."""
    return NewAccessKeyAnswer(**_members(key, now), key=text)


def _members(key: StoredKey, now: datetime) -> dict[str, Any]:
    return {
        "id": key.id,
        "shown": key.shown,
        "holder": key.holder,
        "scopes": list(key.scopes),
        "state": key.state(now),
        "made_at": write_moment(key.made_at),
        "expires_at": write_moment(key.expires_at),
        "revoked_at": None if key.revoked_at is None else write_moment(key.revoked_at),
        "last_used_on": None if key.last_used_on is None else key.last_used_on.isoformat(),
    }


def audit_answer(row: Row[Any]) -> AuditEntryAnswer:
    """Give an entry of the log its wire shape."""
    return AuditEntryAnswer(
        id=row.id,
        at=row.at,
        holder=row.holder,
        key_id=row.key_id,
        address=row.address,
        request_id=row.request_id,
        action=row.action,
        noun=row.noun,
        name=row.name,
        before=None if row.before is None else msgspec.json.decode(row.before),
        after=None if row.after is None else msgspec.json.decode(row.after),
    )
