"""The table of access keys."""

from itertools import combinations

from sqlalchemy import CheckConstraint
from sqlmodel import SQLModel

from api.access.keys import SCOPES
from api.access.moments import MOMENT_LENGTH
from api.columns import STRICT, check, day, one_of, text

HOLDER_LENGTH = 80
"""Longest name of a holder, in characters (our judgement)."""

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
