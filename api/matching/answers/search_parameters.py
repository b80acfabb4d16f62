"""What the contract says of a search's query: one parameter for each dimension of the shipped kinds.

Kinds are data, so this is told from the kinds' files that travel with the package; a kind added later is
searched in the same way, only not listed here.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from api.matching.answers.read_search import ABSENT

EXAMPLES = {"bore": "12.62 mm", "length": "11.9 mm"}
"""One search of a bushing: whoever tries it out sends all examples at once, so they are of one kind."""


def search_parameters(kinds: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the OpenAPI parameters of the dimensions of `kinds` (tables of the kinds' files)."""
    places: dict[str, list[str]] = {}
    for kind in sorted(kinds, key=lambda one: str(one["code"])):
        for dimension in kind["dimension"]:
            told = f"{kind['name']}: {dimension['place']}"
            if dimension["measure"] == "choice":
                told += " One of " + ", ".join(choice["value"] for choice in dimension["choices"]) + "."
            places.setdefault(dimension["code"], []).append(told)
    return [_parameter(code, told) for code, told in places.items()]


def _parameter(code: str, told: list[str]) -> dict[str, Any]:
    parameter: dict[str, Any] = {
        "name": code,
        "in": "query",
        "required": False,
        "description": " ".join([*told, f"`{ABSENT}` where the part has no such feature."]),
        "schema": {"type": "string", "minLength": 1, "maxLength": 60},
    }
    if code in EXAMPLES:
        parameter["example"] = EXAMPLES[code]
    return parameter
