"""The contract of this very service: its operations, and the searches' parameters from the shipped kinds."""

import json
import tomllib
from collections.abc import Iterable
from typing import Any

from api.contract import write_document
from api.matching.answers.search_parameters import search_parameters
from api.travelling import travelling
from api.wire.operation import Operation


def contract_document(operations: Iterable[Operation]) -> dict[str, Any]:
    """Return the OpenAPI document that is served and committed."""
    kinds = [
        tomllib.loads(file.read_text("utf-8"))
        for file in sorted((travelling("seed_catalog") / "kinds").glob("*.toml"))
    ]
    return write_document(operations, {"get_matches": search_parameters(kinds)})


def document_text(operations: Iterable[Operation]) -> str:
    """Return the document as the text that is committed and served."""
    return json.dumps(contract_document(operations), indent=1, ensure_ascii=False) + "\n"
