"""The form of an access key: how one is made, and how one that was sent is read.

`startwright_k7dm2qxz_<52 characters><7 characters>`: a prefix that says whose key it is (and lets a scanner
of leaked secrets find it), an identifier that lists may show, 256 random bits, a checksum. All but the
prefix is lower-case base32 (RFC 4648 section 6), whose alphabet has no 0, 1, 8 and 9 to be mistaken for
letters. Only the SHA-256 of the whole text is stored: with 256 random bits nothing can be guessed from it,
so that a slow password hash would protect nothing.
"""

import base64
import hashlib
import re
import secrets
import zlib
from collections.abc import Callable, Collection
from typing import Final

import attrs

from api.errors import DomainError

PREFIX: Final = "startwright"
SECRET_BYTES: Final = 32
"""256 random bits."""
IDENTIFIER_BYTES: Final = 5
"""40 random bits: two of a thousand keys share them with a chance of one in two million."""

SCOPES: Final = ("catalogue", "prices", "estimates", "admin")
"""What a key may be made for, in the order in which scopes are written."""
ADMIN: Final = "admin"

_FORM: Final = re.compile(
    rf"(?P<body>(?P<shown>{PREFIX}_[a-z2-7]{{8}})_[a-z2-7]{{52}})(?P<checksum>[a-z2-7]{{7}})", re.ASCII
)
KEY_LENGTH: Final = len(PREFIX) + 1 + 8 + 1 + 52 + 7
"""Characters of every key."""


@attrs.frozen
class KeyRefused(DomainError):
    """The one answer to every key that may not be used, whatever is wrong with it."""

    def explain(self) -> str:
        """Say what may be wrong without saying what is."""
        return (
            "This access key may not be used: it is unknown, mistyped, cut short, expired or revoked. "
            "Ask whoever keeps this service for a new one."
        )


@attrs.frozen
class ScopeMissing(DomainError):
    """A key is good, but not for this."""

    needed: str
    held: tuple[str, ...]

    def explain(self) -> str:
        """Name the scope that is needed and those that the key has."""
        return f"This needs an access key with the scope {self.needed!r}; yours has {', '.join(self.held)}."


@attrs.frozen
class KeyParts:
    """What is kept of a key that was read: the part that may be shown, and the digest of the whole."""

    shown: str
    digest: str


@attrs.frozen
class NewKey:
    """A key just made: its text, to be handed over once and then forgotten, and what is kept of it."""

    text: str = attrs.field(repr=False)
    parts: KeyParts


def make_key(random_bytes: Callable[[int], bytes] = secrets.token_bytes) -> NewKey:
    """Make a key from an identifier and 256 bits that `random_bytes` gives (it has to be unguessable)."""
    identifier, secret = _base32(random_bytes(IDENTIFIER_BYTES)), _base32(random_bytes(SECRET_BYTES))
    body = f"{PREFIX}_{identifier}_{secret}"
    text = body + _checksum(body)
    return NewKey(text, KeyParts(shown=f"{PREFIX}_{identifier}", digest=_digest(text)))


def read_key(text: str) -> KeyParts:
    """Read a key as it was sent; nothing is looked up.

    The checksum (CRC-32) tells every change of one character and every swap of two neighbours for certain:
    it finds every run of wrong bits of up to 32. Raises `KeyRefused` for every wrong form alike.
    """
    found = _FORM.fullmatch(text) if len(text) == KEY_LENGTH else None
    if found is None or found["checksum"] != _checksum(found["body"]):
        raise KeyRefused
    return KeyParts(found["shown"], _digest(text))


def allows(held: Collection[str], needed: str) -> bool:
    """Tell whether scopes suffice for one that is needed; `admin` suffices for every scope.

    Whoever may make keys for any scope could make himself the one that he lacks, so that withholding the
    others from `admin` would protect nothing.
    """
    return needed in held or ADMIN in held


def require_scope(held: tuple[str, ...], needed: str) -> None:
    """Raise `ScopeMissing` unless scopes suffice for the one that is needed."""
    if not allows(held, needed):
        raise ScopeMissing(needed, held)


def _base32(data: bytes) -> str:
    return base64.b32encode(data).decode("ascii").rstrip("=").lower()


def _checksum(body: str) -> str:
    return _base32(zlib.crc32(body.encode("ascii")).to_bytes(4, "big"))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("ascii")).hexdigest()
