"""Tables of access keys, of answers kept so that a repeat is answered alike, and of every change."""

from itertools import combinations

from sqlalchemy import CheckConstraint, Index
from sqlmodel import SQLModel

from api.access.keys import SCOPES
from api.access.moments import MOMENT_LENGTH
from api.columns import STRICT, check, day, one_of, text, whole

HOLDER_LENGTH = 80
"""Longest name of a holder, in characters (our judgement)."""

ACTIONS = ("create", "change", "withdraw", "restore", "revoke")
"""What a change does."""

SCOPE_TEXTS = tuple(
    " ".join(held) for count in range(1, len(SCOPES) + 1) for held in combinations(SCOPES, count)
)
"""Every way in which scopes can be written: in one order, with a space between."""


def moment(column: str) -> CheckConstraint:
    """Require a text column to have the shape of an RFC 3339 moment in UTC, to the second."""
    return check(
        f"{column}_is_moment", f"length({column}) = {MOMENT_LENGTH} AND {column} LIKE '____-__-__T__:__:__Z'"
    )


class AccessKey(SQLModel, table=True):
    """Who holds a key, what for and until when; the key itself is not kept, only its SHA-256 in hex."""

    __tablename__ = "access_key"
    __table_args__ = (
        check("holder_has_name", f"length(holder) BETWEEN 1 AND {HOLDER_LENGTH}"),
        check("digest_is_sha256", "length(digest) = 64"),
        one_of("scopes", SCOPE_TEXTS),
        moment("made_at"),
        moment("expires_at"),
        moment("revoked_at"),
        check("expires_later", "expires_at > made_at"),
        check("revoked_later", "revoked_at >= made_at"),
        day("last_used_on"),
        STRICT,
    )

    id: str = text(key=True)
    holder: str = text(index=True)
    shown: str = text(unique=True)
    digest: str = text()
    scopes: str = text()
    made_at: str = text()
    expires_at: str = text()
    revoked_at: str | None = text(optional=True)
    last_used_on: str | None = text(optional=True)


class AnsweredRequest(SQLModel, table=True):
    """The answer to a create, kept a day so that the same request again is answered alike.

    `key_digest` is the SHA-256 of holder and idempotency key, `request_digest` that of method, path and body.
    """

    __tablename__ = "answered_request"
    __table_args__ = (
        check("key_is_sha256", "length(key_digest) = 64"),
        check("request_is_sha256", "length(request_digest) = 64"),
        check("status_is_success", "status BETWEEN 200 AND 299"),
        moment("answered_at"),
        STRICT,
    )

    key_digest: str = text(key=True)
    request_digest: str = text()
    answered_at: str = text(index=True)
    status: int = whole()
    content: str = text()
    fields: str = text()


class AuditEntry(SQLModel, table=True):
    """One change: who, when, of what, and the state before and after as JSON; never a secret.

    `holder` and `key_id` are absent where the change came without a key (the command line, open writes);
    `catalogue_version` is the version that a change of the catalogue made.
    """

    __tablename__ = "audit_entry"
    __table_args__ = (
        one_of("action", ACTIONS),
        moment("at"),
        check("says_what_changed", "before IS NOT NULL OR after IS NOT NULL"),
        Index("ix_audit_entry_noun_name", "noun", "name"),
        STRICT,
    )

    id: str = text(key=True)
    at: str = text()
    holder: str | None = text(optional=True)
    key_id: str | None = text(optional=True)
    address: str = text()
    request_id: str = text()
    action: str = text()
    noun: str = text()
    name: str = text()
    before: str | None = text(optional=True)
    after: str | None = text(optional=True)
    catalogue_version: int | None = whole(optional=True, index=True)
