"""One HTTP operation: what it takes, what it answers, and the handler that Litestar runs.

`operation` turns a function of checked values into a Litestar handler and keeps beside it what the
OpenAPI document says of it, so that the two cannot drift apart.
"""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal

import msgspec
from litestar import HttpMethod, Request, Response
from litestar.concurrency import sync_to_thread
from litestar.exceptions import ClientException, InternalServerException
from litestar.handlers import HTTPRouteHandler
from litestar.types import Scope
from pydantic import BaseModel

from api.errors import DomainError, UnknownCode, shown
from api.wire.entity_tags import tag_of, tagged_answer
from api.wire.header_fields import field_value
from api.wire.inputs import NoQuery, check_media_type, read_body, read_query
from api.wire.json_text import read_json
from api.wire.refusals import BodyTooLarge, UnreadableBody
from api.wire.request_ids import request_id
from api.wire.shapes import Page
from api.wire.writing import (
    IDEMPOTENCY_FIELD,
    Caller,
    WriteFacts,
    WriteQuery,
    Writer,
    WriteRules,
)
from api.wire.writing import (
    Scope as AccessScope,
)

JSON: Final = "application/json"
OPERATION_KEY: Final = "operation"
CALLER_KEY: Final = "caller"
"""Under which the gate leaves in a request's state who asks."""
UNKEPT: Final = {"Cache-Control": "no-store"}
"""What a write answers, and what only the holder of a scope may read, is for no cache (RFC 9111 5.2.2.5)."""
_METHODS: Final = {
    "GET": [HttpMethod.GET, HttpMethod.HEAD],
    "POST": [HttpMethod.POST],
    "PUT": [HttpMethod.PUT],
    "PATCH": [HttpMethod.PATCH],
}
_encoder = msgspec.json.Encoder()


@dataclass(frozen=True, slots=True)
class PathName:
    """A path parameter: its meaning and an example; `with_slashes` where it is the rest of the path."""

    meaning: str
    example: str
    with_slashes: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """A step from an answer to another operation: its id, and where each parameter's value is found."""

    operation: str
    parameters: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Operation:
    """Everything that the contract says of one operation.

    `writes` makes it one that changes something; `needs` is the scope that reading it takes, where any.
    """

    method: Literal["GET", "POST", "PUT", "PATCH"]
    path: str
    name: str
    tag: str
    summary: str
    answer: Any
    query: type[BaseModel] = NoQuery
    body: type[BaseModel] | None = None
    path_names: Mapping[str, PathName] = field(default_factory=dict)
    problems: tuple[type[DomainError], ...] = ()
    links: Mapping[str, Link] = field(default_factory=dict)
    example: Any = None
    free_query: bool = False
    writes: WriteRules | None = None
    needs: AccessScope | None = None


def operation(told: Operation) -> Callable[[Callable[..., Any]], HTTPRouteHandler]:
    """Make a Litestar handler of a function that works on checked values.

    The function may name `query`, `body`, any path parameter, and anything that the application keeps
    in its state (`database`, `index`, ...). With `free_query` it gets the raw query string as
    `query_string` and reads it itself; `query` then only tells the contract which parameters are fixed.
    It runs in a worker thread; what it returns becomes the JSON answer, with an entity tag on GET.
    """

    def decorate(work: Callable[..., Any]) -> HTTPRouteHandler:
        names = tuple(inspect.signature(work).parameters)
        rules = told.writes
        if rules is not None:
            return _handler(told, work, _writing(told, rules, work, names))

        async def handle(request: Request[Any, Any, Any]) -> Response[bytes]:
            if told.needs is not None:  # whether anybody may read was judged at the gate
                request.app.state.gate.allow(caller_of(request.scope), told.needs)
            values = await _values(told, names, request)
            answer = await sync_to_thread(work, **values)
            return _answer(told, request, answer)

        return _handler(told, work, handle)

    return decorate


def _handler(told: Operation, work: Callable[..., Any], handle: Callable[..., Any]) -> HTTPRouteHandler:
    handle.__doc__ = work.__doc__
    return HTTPRouteHandler(
        _litestar_path(told),
        http_method=_METHODS[told.method],
        status_code=200,
        name=told.name,
        media_type=JSON,
        opt={OPERATION_KEY: told},
        include_in_schema=False,
    )(handle)


def _writing(
    told: Operation, rules: WriteRules, work: Callable[..., Any], names: tuple[str, ...]
) -> Callable[..., Any]:
    """Return the handler of an operation that changes something.

    Who asks is judged before the body is read. `work` is given `writes` (the open transaction), `facts`,
    `value` (the body as strict JSON) and the path's names; the writer of the application runs it.
    """

    async def handle(request: Request[Any, Any, Any]) -> Response[bytes]:
        caller = caller_of(request.scope)
        request.app.state.gate.allow(caller, rules.scope)
        query = read_query(request.scope["query_string"], WriteQuery)
        text = await read_limited(request)
        given = await _values(told, tuple(name for name in names if name not in _OF_WRITES), request)
        facts = WriteFacts(
            method=told.method,
            path=request.scope["path"],
            body=text,
            caller=caller,
            request_id=request_id(request.scope),
            rules=rules,
            idempotency_key=field_value(request.headers, IDEMPOTENCY_FIELD),
            if_match=field_value(request.headers, "if-match"),
            if_none_match=field_value(request.headers, "if-none-match"),
            validate_only=query.validate_only,
        )
        more: dict[str, Any] = {"facts": facts, **given}
        if "value" in names:
            check_media_type(request.headers.get("content-type", ""))
            more["value"] = read_json(text)
        more = {name: held for name, held in more.items() if name in names}
        writer: Writer = request.app.state.writer
        answer = await sync_to_thread(writer.run, facts, lambda writes: work(writes=writes, **more))
        headers = {**answer.fields, **UNKEPT}
        return Response(answer.content, status_code=answer.status, media_type=JSON, headers=headers)

    return handle


_OF_WRITES: Final = ("writes", "facts", "value", "query")


def caller_of(scope: Scope) -> Caller:
    """Return who asks, as the gate found."""
    caller: Caller = scope["state"][CALLER_KEY]
    return caller


def _litestar_path(told: Operation) -> str:
    path = told.path
    for name, about in told.path_names.items():
        path = path.replace(f"{{{name}}}", f"{{{name}:{'path' if about.with_slashes else 'str'}}}")
    return path


async def _values(told: Operation, names: tuple[str, ...], request: Request[Any, Any, Any]) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for name in names:
        if name in told.path_names:
            given = str(request.path_params[name])
            rest = given.removeprefix("/") if told.path_names[name].with_slashes else given
            values[name] = _path_value(name, rest)
        elif name == "query":
            values[name] = read_query(request.scope["query_string"], told.query)
        elif name == "query_string":
            values[name] = request.scope["query_string"]
        elif name == "body" and told.body is not None:
            text = await read_limited(request)
            values[name] = read_body(text, request.headers.get("content-type", ""), told.body)
        else:
            values[name] = request.app.state[name]
    if "query" not in names and not told.free_query and told.writes is None:
        read_query(request.scope["query_string"], NoQuery)
    return values


def _path_value(name: str, value: str) -> str:
    """Return a path parameter; what no database could store as text names nothing."""
    if not value.isprintable():
        raise UnknownCode(name, shown(value))
    return value


async def read_limited(request: Request[Any, Any, Any]) -> bytes:
    """Read a body up to the limit in the settings; raises `BodyTooLarge`, `UnreadableBody` if cut short."""
    limit: int = request.app.state.settings.body_limit
    declared = request.headers.get("content-length", "0")
    if declared.isdigit() and (len(declared) > 15 or int(declared) > limit):
        raise BodyTooLarge(limit)
    pieces, size = [], 0
    try:
        async for piece in request.stream():
            size += len(piece)
            if size > limit:
                raise BodyTooLarge(limit)
            pieces.append(piece)
    except ClientException:
        raise BodyTooLarge(limit) from None
    except InternalServerException:  # what the framework calls a caller who hung up
        raise UnreadableBody("the connection ended before it did") from None
    return b"".join(pieces)


def _answer(told: Operation, request: Request[Any, Any, Any], answer: Any) -> Response[bytes]:
    text = _encoder.encode(answer)
    if told.method != "GET":
        return Response(text, status_code=200, media_type=JSON)
    more = {"Link": f'<{answer.next}>; rel="next"'} if isinstance(answer, Page) and answer.next else {}
    more |= {} if told.needs is None else UNKEPT
    return tagged_answer(request, text, JSON, more, tag_of(answer, text))
