"""Answers that carry an entity tag, so that who has them already need not fetch them again."""

import hashlib
from collections.abc import Mapping
from typing import Any

from litestar import Request, Response

from api.wire.conditions import is_unchanged
from api.wire.header_fields import field_value


def tagged_answer(
    request: Request[Any, Any, Any], content: bytes, media_type: str, headers: Mapping[str, str] | None = None
) -> Response[bytes]:
    """Answer `content` with a strong entity tag, or 304 where `If-None-Match` names it (RFC 9110 13.2.2).

    Caches keep the answer but ask each time, so that nothing outlives a change or a new release.
    """
    tag = entity_tag(content)
    always = {"ETag": tag, "Cache-Control": "no-cache"}
    if_match, if_none_match = (field_value(request.headers, name) for name in ("if-match", "if-none-match"))
    if is_unchanged(tag, if_match, if_none_match):
        return Response(b"", status_code=304, headers=always, media_type=media_type)
    return Response(content, status_code=200, headers={**always, **(headers or {})}, media_type=media_type)


def entity_tag(content: bytes) -> str:
    """Return the strong entity tag of an answer's bytes, with its quotes."""
    return f'"{hashlib.blake2b(content, digest_size=12).hexdigest()}"'
