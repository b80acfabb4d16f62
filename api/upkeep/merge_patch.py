"""JSON merge patch (RFC 7396) on the entry of a stored thing. Pure."""

from collections.abc import Mapping
from typing import Any


def merge_patch(target: Any, patch: Any) -> Any:
    """Return `target` changed by `patch`: members are merged, null takes one away, all else replaces."""
    if not isinstance(patch, Mapping):
        return patch
    merged = dict(target) if isinstance(target, Mapping) else {}
    for name, value in patch.items():
        if value is None:
            merged.pop(name, None)
        else:
            merged[name] = merge_patch(merged.get(name), value)
    return merged
