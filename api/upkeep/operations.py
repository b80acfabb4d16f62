"""POST, PUT and PATCH of a noun, made alike for every one."""

from collections.abc import Callable, Mapping
from functools import wraps
from inspect import Parameter, Signature
from typing import Any

import attrs

from api.database import WriteSession
from api.upkeep.keep import change, create, replace
from api.upkeep.noun import AlreadyKnown, Noun
from api.upkeep.read_entry import WITHDRAWN_ON
from api.wire.operation import Operation, PathName, operation
from api.wire.writing import WriteFacts, WriteRules, Written


@attrs.frozen(kw_only=True)
class Paths:
    """Where a noun stands: its collection, one of it, and the names in both paths.

    `names` lead to one of it; those of them that `collection` holds come first. What these name stands above
    it: the rule is given them beside the body, under their own name or the one that `told_as` gives.
    """

    collection: str
    item: str
    names: Mapping[str, PathName]
    told_as: Mapping[str, str] = attrs.field(factory=dict)


def write_routes(noun: Noun[Any], answer: Any, paths: Paths, example: Mapping[str, Any]) -> tuple[Any, ...]:
    """Return the routes that create, replace and change a noun; `answer` is what its GET answers."""
    word = noun.name.replace(" ", "_")
    shared = tuple(name for name in paths.names if f"{{{name}}}" in paths.collection)
    above = {name: paths.names[name] for name in shared}

    def told(method: Any, path: str, name: str, summary: str, names: Mapping[str, PathName]) -> Operation:
        return Operation(
            method,
            path,
            name,
            "upkeep",
            summary,
            answer,
            body=noun.patch_model if method == "PATCH" else noun.model,
            path_names=names,
            problems=(AlreadyKnown, *noun.problems),
            writes=WriteRules(scope=noun.scope, creates=method == "POST"),
            example=_patch_example(example, noun) if method == "PATCH" else dict(example),
        )

    def owners(names: Mapping[str, str]) -> dict[str, str]:
        return {paths.told_as.get(name, name): names[name] for name in shared}

    def creating(writes: WriteSession, facts: WriteFacts, value: Any, **names: str) -> Written:
        return create(noun, writes, facts, value, owners(names))

    def replacing(writes: WriteSession, facts: WriteFacts, value: Any, **names: str) -> Written:
        return replace(noun, writes, facts, tuple(names[name] for name in paths.names), value, owners(names))

    def changing(writes: WriteSession, facts: WriteFacts, value: Any, **names: str) -> Written:
        return change(noun, writes, facts, tuple(names[name] for name in paths.names), value, owners(names))

    return (
        operation(told("POST", paths.collection, f"create_{word}", f"Create a {noun.name}", above))(
            _signed(creating, shared)
        ),
        operation(told("PUT", paths.item, f"replace_{word}", f"Replace a {noun.name}", paths.names))(
            _signed(replacing, tuple(paths.names))
        ),
        operation(told("PATCH", paths.item, f"change_{word}", f"Change a {noun.name}", paths.names))(
            _signed(changing, tuple(paths.names))
        ),
    )


def _signed(work: Callable[..., Written], names: tuple[str, ...]) -> Callable[..., Written]:
    """Return `work` with a signature that names what it takes from the path."""

    @wraps(work)
    def named(**values: Any) -> Written:
        return work(**values)

    told = ("writes", "facts", "value", *names)
    named.__signature__ = Signature(  # type: ignore[attr-defined]  # what inspect.signature reads
        [Parameter(name, Parameter.KEYWORD_ONLY) for name in told]
    )
    return named


def _patch_example(example: Mapping[str, Any], noun: Noun[Any]) -> dict[str, Any]:
    """Return an example of a change: one member that may change, else a withdrawal."""
    free = next((name for name in example if name not in noun.fixed), None)
    return {WITHDRAWN_ON: "2026-11-25"} if free is None else {free: example[free]}
