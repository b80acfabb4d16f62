"""The OpenAPI 3.1 document, written from the operations and the wire models' own JSON schemas.

Litestar's generated document loses constraints of the models (closed objects, patterns, decimals as
strings), so it is not used; this one is served, committed and compared.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final

import msgspec
from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from api import __version__
from api.contract_writes import (
    ACCESS_KEY,
    ALWAYS,
    SECURITY_SCHEMES,
    scope_of,
    write_answers,
    write_parameters,
    write_problems,
)
from api.errors import DomainError, InvalidInput, UnknownCode
from api.problems import PROBLEMS
from api.wire.conditions import HeaderRefused, PreconditionFailed
from api.wire.operation import JSON, Operation
from api.wire.refusals import (
    BodyTooLarge,
    HostNotServed,
    InternalFault,
    MediaTypeNotTaken,
    NotReady,
    UnreadableBody,
)
from api.wire.shapes import Page, Problem
from api.wire.writing import WriteQuery

PROBLEM_JSON: Final = "application/problem+json"
MERGE_PATCH: Final = "application/merge-patch+json"
_REFERENCE: Final = "#/components/schemas/"
_ETAG: Final = {
    "description": "strong entity tag of the answer (RFC 9110 8.8.3); where the answer tells of other things "
    "too, what stands before its dot is of the thing's own state, which alone a change has to name",
    "schema": {"type": "string", "pattern": '^"[0-9a-f]{24}(\\.[0-9a-f]{24})?"$'},
}

DESCRIPTION: Final = (
    "Finds the wear part that fits a worn cranking starter by its measured size, and says whether "
    "repairing beats replacing. Lengths go in as text with their unit, money as decimal strings; "
    "every refusal is a problem as RFC 9457 describes it and names all faults at once. The maker's "
    "service manual, local rules and a licensed repairer come first; not for aircraft, marine or "
    "medical use."
)


def write_document(
    operations: Iterable[Operation], parameters: Mapping[str, list[dict[str, Any]]]
) -> dict[str, Any]:
    """Return the OpenAPI document of `operations`.

    `parameters` adds query parameters by operation name, for operations that read their query
    themselves (the dimensions of a search come from data, not from a model).
    """
    told = list(operations)
    answers = [one.answer for one in told]
    _, answer_schemas = msgspec.json.schema_components(
        [*answers, Problem], ref_template=_REFERENCE + "{name}"
    )
    bodies = {one.body for one in told if one.body is not None}
    request_schemas = _request_schemas(bodies)
    answer_schemas["Problem"]["properties"]["type"]["enum"] = sorted({kind.uri for kind in PROBLEMS.values()})
    clash = answer_schemas.keys() & request_schemas.keys()
    if clash:
        raise ValueError(f"request and answer shapes share names: {sorted(clash)}")
    paths: dict[str, dict[str, Any]] = {}
    for one in told:
        paths.setdefault(one.path, {})[one.method.lower()] = _operation(one, parameters.get(one.name, []))
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Startwright",
            "version": __version__,
            "description": DESCRIPTION,
            "license": {"name": "MIT", "identifier": "MIT"},
            "contact": {"name": "The Startwright developers"},
        },
        "servers": [{"url": "/"}],
        "tags": [{"name": tag, "description": TAGS[tag]} for tag in sorted({one.tag for one in told})],
        "paths": dict(sorted(paths.items())),
        "components": {
            "schemas": dict(sorted({**answer_schemas, **request_schemas}.items())),
            "responses": {status: _problem_response(int(status)) for status in sorted(_used_problems(paths))},
            "securitySchemes": SECURITY_SCHEMES,
        },
    }


TAGS: Final = {
    "kinds": "Kinds of wear part, their dimensions, the matching model and the instruments.",
    "matches": "From a few measurements of a worn part to the parts that fit.",
    "families": "Starter families, their positions, and what fits each.",
    "catalogue": "Starters, wear parts, and the numbers they go by.",
    "upkeep": "Changing the catalogue and its prices: nothing is deleted, it is withdrawn.",
    "access": "Access keys, and the log of every change.",
    "offers": "Suppliers and their prices.",
    "fit checks": "Whether a part fits its seat and its partner, and why.",
    "comparisons": "Repair against replacement.",
    "inspections": "A stripped starter judged against limits, and what to check once it is together again.",
    "diagnoses": "From symptoms and simple tests to what is probably wrong, and what to observe next.",
    "operation": "Whether the service lives and is ready.",
}


def _used_problems(paths: Mapping[str, Mapping[str, Any]]) -> set[str]:
    """Return the statuses whose problem response an operation refers to."""
    told = [one for methods in paths.values() for one in methods.values()]
    return {status for one in told for status, answer in one["responses"].items() if "$ref" in answer}


def _request_schemas(models: Iterable[type[BaseModel]]) -> dict[str, Any]:
    ordered = sorted(models, key=lambda model: model.__name__)
    _, schema = models_json_schema(
        [(model, "validation") for model in ordered], ref_template=_REFERENCE + "{model}"
    )
    return dict(schema.get("$defs", {}))


def _operation(told: Operation, more: list[dict[str, Any]]) -> dict[str, Any]:
    document: dict[str, Any] = {
        "operationId": told.name,
        "tags": [told.tag],
        "summary": told.summary,
        "description": _description(told),
        "parameters": [
            *_path_parameters(told),
            *_query_parameters(told.query if told.writes is None else WriteQuery),
            *write_parameters(told),
            *more,
        ],
        "responses": {**_answers(told), **_problems(told)},
    }
    if told.method == "GET":
        document["responses"]["304"] = {
            "description": "Not changed since the answer whose entity tag If-None-Match names",
            "headers": {"ETag": _ETAG},
        }
    scope = scope_of(told)
    if scope is not None:
        document["security"] = [{ACCESS_KEY: []}]
    if told.body is not None:
        content: dict[str, Any] = {"schema": {"$ref": _REFERENCE + told.body.__name__}}
        if told.example is not None:
            content["example"] = told.example
        types = (JSON, MERGE_PATCH) if told.method == "PATCH" else (JSON,)
        document["requestBody"] = {"required": True, "content": dict.fromkeys(types, content)}
    return document


def _description(told: Operation) -> str:
    scope = scope_of(told)
    if scope is not None:
        return f"{told.summary}. Needs an access key with the scope `{scope}`."
    stores = " Nothing is stored." if told.method == "POST" else ""
    return f"{told.summary}{stores}"


def _path_parameters(told: Operation) -> list[dict[str, Any]]:
    return [
        {
            "name": name,
            "in": "path",
            "required": True,
            "description": about.meaning,
            "schema": {"type": "string", "minLength": 1, "maxLength": 100},
            "example": about.example,
        }
        for name, about in told.path_names.items()
    ]


def _query_parameters(model: type[BaseModel]) -> list[dict[str, Any]]:
    schema = model.model_json_schema(mode="validation")
    parameters = []
    for name, about in schema.get("properties", {}).items():
        value = {key: held for key, held in about.items() if key not in ("title", "default", "description")}
        branches = [one for one in value.pop("anyOf", []) if one.get("type") != "null"]
        value |= branches[0] if branches else {}
        if about.get("default") is not None:
            value["default"] = about["default"]
        parameters.append(
            {
                "name": name,
                "in": "query",
                "required": name in schema.get("required", []),
                "description": about.get("description", name),
                "schema": value,
            }
        )
    return parameters


def _answers(told: Operation) -> dict[str, Any]:
    answer = _answer(told)
    return {"200": answer} if told.writes is None else write_answers(answer, told.writes, _ETAG)


def _answer(told: Operation) -> dict[str, Any]:
    (schema,), _ = msgspec.json.schema_components([told.answer], ref_template=_REFERENCE + "{name}")
    answer: dict[str, Any] = {"description": told.summary, "content": {JSON: {"schema": schema}}}
    if told.method == "GET":
        answer["headers"] = {"ETag": _ETAG}
        if getattr(told.answer, "__origin__", None) is Page:
            answer["headers"]["Link"] = {
                "description": "where the next piece is (RFC 8288)",
                "schema": {"type": "string"},
            }
    if told.links:
        answer["links"] = {
            name: {"operationId": link.operation, "parameters": dict(link.parameters)}
            for name, link in told.links.items()
        }
    return answer


def _problems(told: Operation) -> dict[str, Any]:
    raised: set[type[DomainError]] = {InvalidInput, HostNotServed, InternalFault, NotReady, *told.problems}
    raised |= ALWAYS | write_problems(told)
    if told.method == "GET":
        raised |= {HeaderRefused, PreconditionFailed}
    if told.path_names:
        raised.add(UnknownCode)
    if told.body is not None:
        raised |= {UnreadableBody, BodyTooLarge, MediaTypeNotTaken}
    statuses = sorted({PROBLEMS[kind].status for kind in raised})
    return {str(status): {"$ref": f"#/components/responses/{status}"} for status in statuses}


def _problem_response(status: int) -> dict[str, Any]:
    kinds = sorted({kind for kind in PROBLEMS.values() if kind.status == status}, key=lambda one: one.code)
    return {
        "description": "; ".join(f"{kind.title} ({kind.code})" for kind in kinds),
        "content": {PROBLEM_JSON: {"schema": {"$ref": _REFERENCE + "Problem"}}},
    }
