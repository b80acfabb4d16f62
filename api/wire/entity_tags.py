"""Answers that carry an entity tag, so that who has them already need not fetch them again.

Where an answer tells of other things too (a part of its best offer today), its tag has two halves: the
thing's own state, and all of the answer. Caches compare the whole; a change names the state that it is for
by the first half, so that a price or midnight between reading and writing is no conflict.
"""

import hashlib
from collections.abc import Mapping
from typing import Any

import msgspec
from litestar import Request, Response

from api.wire.conditions import is_unchanged
from api.wire.header_fields import field_value
from api.wire.shapes import Answer

_encode = msgspec.json.Encoder().encode


def tagged_answer(
    request: Request[Any, Any, Any],
    content: bytes,
    media_type: str,
    headers: Mapping[str, str] | None = None,
    tag: str | None = None,
) -> Response[bytes]:
    """Answer `content` with a strong entity tag, or 304 where `If-None-Match` names it (RFC 9110 13.2.2).

    `tag` is the tag where it does not follow from the content alone. Caches keep the answer but ask each
    time, so that nothing outlives a change or a new release.
    """
    tag = tag or f'"{_digest(content)}"'
    always = {"ETag": tag, "Cache-Control": "no-cache"}
    if_match, if_none_match = (field_value(request.headers, name) for name in ("if-match", "if-none-match"))
    if is_unchanged(tag, if_match, if_none_match):
        return Response(b"", status_code=304, headers=always, media_type=media_type)
    return Response(content, status_code=200, headers={**always, **(headers or {})}, media_type=media_type)


def tag_of(answer: Any, content: bytes) -> str:
    """Return the strong entity tag of an answer, of which `content` are the bytes, with its quotes."""
    own = answer.own_state() if isinstance(answer, Answer) else answer
    return f'"{_digest(content)}"' if own is answer else f'"{_digest(_encode(own))}.{_digest(content)}"'


def _digest(content: bytes) -> str:
    return hashlib.blake2b(content, digest_size=12).hexdigest()
