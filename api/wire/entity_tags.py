"""Answers that carry an entity tag, so that who has them already need not fetch them again."""

import hashlib
from collections.abc import Mapping
from typing import Any

from litestar import Request, Response


def tagged_answer(
    request: Request[Any, Any, Any], content: bytes, media_type: str, headers: Mapping[str, str] | None = None
) -> Response[bytes]:
    """Answer `content` with a strong entity tag, or 304 where `If-None-Match` names it.

    Caches keep the answer but ask each time, so that nothing outlives a change or a new release.
    """
    tag = f'"{hashlib.blake2b(content, digest_size=12).hexdigest()}"'
    always = {"ETag": tag, "Cache-Control": "no-cache"}
    if _matches(request.headers.get("if-none-match", ""), tag):
        return Response(b"", status_code=304, headers=always, media_type=media_type)
    return Response(content, status_code=200, headers={**always, **(headers or {})}, media_type=media_type)


def _matches(condition: str, tag: str) -> bool:
    """Compare weakly, as RFC 9110 13.1.2 asks of If-None-Match."""
    tags = {one.strip().removeprefix("W/") for one in condition.split(",")}
    return condition.strip() == "*" or tag in tags
