"""Bodies of makers, sizes and parts for journeys that write them, and where what is written shows."""

from datetime import UTC, datetime
from typing import Any

from catalogue_writing import Writer, done

TODAY = datetime.now(UTC).date().isoformat()
SCOPE = "catalogue"


def maker(code: str, **changes: Any) -> dict[str, Any]:
    return {"code": code, "name": f"Works of {code}", **changes}


def size(code: str, bore: str, **changes: Any) -> dict[str, Any]:
    """A plain bush of a bore that no seed size has, where its bore says so."""
    return {
        "code": code,
        "kind": "bushing",
        "provenance": "measured",
        "dimensions": {
            "bore": bore,
            "outside_diameter": "45.023..45.034 mm",
            "length": "31.890..32.110 mm",
            "flange_diameter": "n/a",
            "flange_thickness": "n/a",
        },
        **changes,
    }


def part(number: str, **changes: Any) -> dict[str, Any]:
    return {
        "maker": "ombrisk",
        "number": number,
        "kind": "bushing",
        "size": "bush-12.5x16x12",
        "description": "Bush, plain",
        "provenance": "catalogue",
        **changes,
    }


def made_part(writer: Writer, number: str, **changes: Any) -> str:
    """Create a part and return its path."""
    response = writer.post("/v1/parts", part(number, **changes), SCOPE)
    done(response, 201)
    return str(response.headers["Location"])


def found(writer: Writer, bore: str) -> list[str]:
    """Return the numbers that a search by bore lists first: those of the most probable size."""
    candidates = writer.read("/v1/matches/bushing", bore=bore, condition="new")["candidates"]
    return [one["part"]["number"] for one in candidates if one["probability"] > 0.2]


def stand_ins(writer: Writer, path: str) -> set[str]:
    return {one["part"]["number"] for one in writer.read(f"{path}/interchange", limit=1000)["parts"]}


def matched(writer: Writer, number: str) -> list[str]:
    response = writer.client.get(f"/v1/numbers/{number}")
    return [] if response.status_code == 404 else [one["written"] for one in response.json()["matches"]]
