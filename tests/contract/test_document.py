"""The committed contract is the served one, is valid, and says what every operation may refuse."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import httpx
import pytest
from openapi_spec_validator import validate

from api.app import ROUTES, operations
from api.document import document_text
from api.pages.routes import EXAMPLES
from api.problems import PROBLEMS

ROOT = Path(__file__).resolve().parents[2]
SEED = ROOT / "seed_catalog"
COMMITTED = ROOT / "openapi" / "openapi.json"
DOCUMENT: dict[str, Any] = json.loads(COMMITTED.read_text("utf-8"))
OPERATIONS = [one for methods in DOCUMENT["paths"].values() for one in methods.values()]


def test_the_committed_document_is_the_generated_one() -> None:
    assert COMMITTED.read_text("utf-8") == document_text(operations())


def test_the_served_document_is_the_committed_one(service: httpx.Client) -> None:
    assert service.get("/openapi.json").text == COMMITTED.read_text("utf-8")


def test_the_document_is_valid_openapi() -> None:
    """openapi-spec-validator: the OpenAPI Initiative's own JSON Schema of 3.1 and its reference rules."""
    validate(DOCUMENT)


def references(node: Any) -> set[str]:
    if isinstance(node, list):
        return set().union(*(references(one) for one in node))
    if not isinstance(node, dict):
        return set()
    own = {node["$ref"]} if isinstance(node.get("$ref"), str) else set()
    return own.union(*(references(one) for one in node.values()))


def test_no_name_of_a_schema_tells_where_its_code_is() -> None:
    """Two models of one name would both be told by their modules."""
    assert [name for name in DOCUMENT["components"]["schemas"] if "." in name] == []


def test_every_reference_leads_somewhere_and_every_schema_is_used() -> None:
    used = references(DOCUMENT)
    used |= {
        f"#/components/securitySchemes/{name}"
        for one in OPERATIONS
        for scheme in one.get("security", [])
        for name in scheme
    }
    kept = {
        f"#/components/{section}/{name}" for section, held in DOCUMENT["components"].items() for name in held
    }
    assert used - kept == set()
    assert kept - used == set()


@pytest.mark.parametrize("address", [address for address, _ in EXAMPLES if address.startswith("/v1/")])
def test_the_examples_of_the_front_page_use_parameters_that_the_contract_tells(address: str) -> None:
    parts = urlsplit(address)
    template = next(
        path for path in DOCUMENT["paths"] if re.fullmatch(re.sub(r"\{[^}]+\}", "[^/]+", path), parts.path)
    )
    told = {one["name"] for one in DOCUMENT["paths"][template]["get"]["parameters"] if one["in"] == "query"}
    assert {name for name, _ in parse_qsl(parts.query)} <= told


def test_a_search_tells_its_options_and_every_dimension_of_the_shipped_kinds() -> None:
    told = [one["name"] for one in DOCUMENT["paths"]["/v1/matches/{kind}"]["get"]["parameters"]]
    kinds = (tomllib.loads(file.read_text("utf-8")) for file in (SEED / "kinds").glob("*.toml"))
    dimensions = {one["code"] for kind in kinds for one in kind["dimension"]}
    assert set(told) == {"kind", "instrument", "condition", "unit", "limit"} | dimensions
    assert len(told) == len(set(told))


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
