"""The committed contract is the served one, is valid, and says what every operation may refuse."""

import json
from pathlib import Path
from typing import Any

import httpx
from openapi_spec_validator import validate

from api.app import ROUTES, operations
from api.document import document_text
from api.problems import PROBLEMS

COMMITTED = Path(__file__).resolve().parents[2] / "openapi" / "openapi.json"
DOCUMENT: dict[str, Any] = json.loads(COMMITTED.read_text("utf-8"))
OPERATIONS = [one for methods in DOCUMENT["paths"].values() for one in methods.values()]


def test_the_committed_document_is_the_generated_one() -> None:
    assert COMMITTED.read_text("utf-8") == document_text(operations())


def test_the_served_document_is_the_committed_one(service: httpx.Client) -> None:
    assert service.get("/openapi.json").text == COMMITTED.read_text("utf-8")


def test_the_document_is_valid_openapi() -> None:
    """openapi-spec-validator: the OpenAPI Initiative's own JSON Schema of 3.1 and its reference rules."""
    validate(DOCUMENT)


def test_every_route_is_an_operation_of_the_document() -> None:
    assert len(OPERATIONS) == len(ROUTES)
    assert len({one["operationId"] for one in OPERATIONS}) == len(OPERATIONS)


def test_every_operation_documents_its_refusals_as_problems() -> None:
    for one in OPERATIONS:
        assert "400" in one["responses"], one["operationId"]
        for status, answer in one["responses"].items():
            if int(status) >= 400:
                assert answer == {"$ref": f"#/components/responses/{status}"}
    for answer in DOCUMENT["components"]["responses"].values():
        assert list(answer["content"]) == ["application/problem+json"]


def test_every_problem_type_is_in_the_document() -> None:
    listed = DOCUMENT["components"]["schemas"]["Problem"]["properties"]["type"]["enum"]
    assert set(listed) == {kind.uri for kind in PROBLEMS.values()}


def test_request_bodies_are_closed_objects() -> None:
    for one in OPERATIONS:
        if "requestBody" in one:
            name = one["requestBody"]["content"]["application/json"]["schema"]["$ref"].rsplit("/", 1)[1]
            schema = DOCUMENT["components"]["schemas"][name]
            branches = [
                DOCUMENT["components"]["schemas"][branch["$ref"].rsplit("/", 1)[1]]
                for branch in schema.get("oneOf", [])
            ] or [schema]
            assert all(branch["additionalProperties"] is False for branch in branches), name
