"""Bodies of measurement records (invented) for journeys, and how what is known is read."""

from typing import Any

from catalogue_writing import Writer, done
from httpx import Response

RECORDS = "/v1/measurement-records"
SCOPE = "catalogue"
DAY = "2026-11-25"
GAUGE = {"instrument": "bore_gauge", "surface": "unworn"}


def record(specimen: str, readings: dict[str, Any], **subject: Any) -> dict[str, Any]:
    """Return a record of unworn readings by a digital caliper, unless `subject` says otherwise."""
    return {
        "specimen": specimen,
        "measured_on": DAY,
        "surface": "unworn",
        "readings": readings,
        **subject,
    }


def new_bush(bore: str, outside: str = "46.03 mm", length: str = "33.00 mm") -> dict[str, Any]:
    """Return readings of a plain bush that is none of the seed's."""
    return {
        "bore": bore,
        "outside_diameter": outside,
        "length": length,
        "flange_diameter": "n/a",
        "flange_thickness": "n/a",
    }


def keep(writer: Writer, body: dict[str, Any]) -> Response:
    response = writer.post(RECORDS, body, SCOPE)
    done(response, 201)
    return response


def kept(writer: Writer, body: dict[str, Any]) -> str:
    """Keep a record and return its path."""
    return str(keep(writer, body).headers["Location"])


def known(writer: Writer, size: str, dimension: str) -> Any:
    """Return what is known of one dimension of a size and how."""
    told = writer.read(f"/v1/sizes/{size}/measured")["dimensions"]
    return next(one for one in told if one["feature"] == dimension)


def seat_known(writer: Writer, family: str, position: str) -> dict[str, Any]:
    """Return what is known of a seat, by feature."""
    told = writer.read(f"/v1/families/{family}/positions/{position}/measured")["features"]
    return {one["feature"]: one for one in told}
