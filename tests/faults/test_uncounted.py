"""Where requests cannot be counted the service answers all the same, and counts again once it can."""

import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from databases import Place
from keyed_service import bearer, new_key, once, supplier
from running_service import serving

SUPPLIERS = "/v1/suppliers"
QUOTA = 3
ON_POSTGRESQL = pytest.mark.parametrize(
    "backend", [pytest.param("postgresql", marks=pytest.mark.needs("postgresql"))]
)
"""Its data folder holds nothing but the counts, and may be missing."""


@pytest.fixture
def no_folder(tmp_path: Path) -> Iterator[Path]:
    """A file where the data folder should be, so that nothing can be made beneath it."""
    file = tmp_path / "data"
    file.write_text("")
    yield file


@ON_POSTGRESQL
def test_requests_that_cannot_be_counted_are_taken(place: Place, no_folder: Path) -> None:
    key, _ = new_key(place, "prices")
    with serving(Place(no_folder, place.url), address_quota=QUOTA) as address:
        answers = [httpx.get(address + SUPPLIERS) for _ in range(2 * QUOTA)]
        assert [one.status_code for one in answers] == [200] * (2 * QUOTA)
        assert {one.headers["ratelimit"] for one in answers} == {f'"address";r={QUOTA};t=60'}
        made = httpx.post(address + SUPPLIERS, json=supplier(), headers={**bearer(key), **once()})
        assert made.status_code == 201
        refused = httpx.post(address + SUPPLIERS, json=supplier(), headers=once())
        assert refused.status_code == 401  # the gate stands open to nobody

        no_folder.unlink()
        deadline = time.monotonic() + 30
        while httpx.get(address + SUPPLIERS).status_code != 429:
            assert time.monotonic() < deadline
