"""Generated catalogues are what they are said to be: sound by the reader's own rules, seeded, clustered."""

from collections import Counter
from pathlib import Path

import pytest

from api.exchange.catalogue import Catalogue
from api.exchange.read_catalogue import read_catalogue
from tests.benchmarks.generate_catalogue import SHARES, Plan, write_catalogue

PARTS = 600


@pytest.fixture(scope="module")
def clustered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("clustered")
    write_catalogue(folder, Plan(PARTS, own_sizes=False, seed=1))
    return folder


@pytest.fixture(scope="module")
def catalogue(clustered: Path) -> Catalogue:
    return read_catalogue(clustered)  # refuses a fault of any entry


def test_there_are_as_many_parts_of_every_kind_as_asked_for(catalogue: Catalogue) -> None:
    kinds = Counter(part.kind for part in catalogue.parts)
    assert sum(kinds.values()) == PARTS
    assert kinds == {kind: round(PARTS * share) for kind, share in SHARES.items()}


def test_everything_that_refers_to_parts_is_there(catalogue: Catalogue) -> None:
    assert catalogue.families and catalogue.starters and catalogue.listings
    assert catalogue.numbers and catalogue.offers and catalogue.suppliers and catalogue.labour


def test_parts_of_a_clustered_catalogue_share_sizes_and_the_first_are_the_commonest(
    catalogue: Catalogue,
) -> None:
    of_size = Counter(part.size for part in catalogue.parts if part.kind == "bushing")
    assert len(of_size) < 0.75 * 0.35 * PARTS
    further = [of_size[code] - 1 for code in sorted(of_size)]  # besides the one that every size has
    half = len(further) // 2
    assert sum(further[:half]) > 1.5 * sum(further[half:])
    assert len({part.maker for part in catalogue.parts}) > 3


def test_sizes_grow_slower_than_parts() -> None:
    few, many = (Plan(parts, own_sizes=False, seed=1) for parts in (10_000, 1_000_000))
    for kind in SHARES:
        assert few.parts_of(kind) / few.sizes_of(kind) < 5
        assert many.parts_of(kind) / many.sizes_of(kind) > 20


def test_in_the_worst_case_nearly_every_part_has_a_size_of_its_own(tmp_path: Path) -> None:
    write_catalogue(tmp_path, Plan(PARTS, own_sizes=True, seed=1))
    catalogue = read_catalogue(tmp_path)
    of_size = Counter(part.size for part in catalogue.parts)
    assert sum(parts == 1 for parts in of_size.values()) > 0.9 * PARTS
    bores = {size.value("bore") for size in catalogue.sizes if size.kind == "bushing"}
    assert len(bores) > 0.8 * 0.35 * PARTS


def test_the_same_seed_writes_the_same_files(clustered: Path, tmp_path: Path) -> None:
    write_catalogue(tmp_path, Plan(PARTS, own_sizes=False, seed=1))
    written = {path.relative_to(clustered): path.read_bytes() for path in clustered.rglob("*.*")}
    again = {path.relative_to(tmp_path): path.read_bytes() for path in tmp_path.rglob("*.*")}
    assert written == again
    other = tmp_path / "other"
    write_catalogue(other, Plan(PARTS, own_sizes=False, seed=2))
    assert (other / "parts.csv").read_bytes() != (clustered / "parts.csv").read_bytes()
