"""The measurement of searches measures what it says; how fast they were is not judged here."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import httpx
import msgspec
import numpy as np
import pytest

from api.database import Database
from api.matching.readings import AbsentReading, Reading
from tests.benchmarks.drawn_searches import (
    MIXES,
    DrawnSearch,
    KindOfDatabase,
    draw_searches,
    read_kinds,
)
from tests.benchmarks.driven_servers import Server, serving
from tests.benchmarks.floor_server import FLOORS, Prepared
from tests.benchmarks.index_figures import array_bytes, as_read
from tests.benchmarks.kind_tables import read_instrument
from tests.benchmarks.other_finders import PartLimits, PartTree, WholeMask, numpy_scan, pandas_mask
from tests.benchmarks.search_report import at_least, at_most

ROOT = Path(__file__).resolve().parents[2]
SEARCHES = 12


@pytest.fixture
def kinds(seeded_database: Database) -> dict[str, KindOfDatabase]:
    return read_kinds(seeded_database)


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving("api", "serve", "--port", "0", "--data", tmp_path_factory.mktemp("data")) as server:
        yield server


SEARCHED = DrawnSearch("bushing", {"bore": "12.62mm", "flange_diameter": "absent"})


def test_a_search_is_written_as_a_query_and_as_a_body() -> None:
    search = DrawnSearch("drive_clutch", {"teeth": 9, "tip_diameter": "29.20mm"})
    assert search.target == "/v1/matches/drive_clutch?teeth=9&tip_diameter=29.20mm"
    assert search.body == {"kind": "drive_clutch", "readings": {"teeth": 9, "tip_diameter": "29.20mm"}}
    few = DrawnSearch("bushing", {"bore": "12.62mm"}, limit=5)
    assert few.target == "/v1/matches/bushing?bore=12.62mm&limit=5"
    assert few.body == {"kind": "bushing", "readings": {"bore": "12.62mm"}, "limit": 5}


@pytest.mark.parametrize("mix", MIXES)
def test_searches_of_a_mix_have_as_many_readings_as_it_says_and_all_are_readable(
    mix: str, kinds: dict[str, KindOfDatabase]
) -> None:
    searches = draw_searches(kinds, mix, 200)
    fewest, most = MIXES[mix]
    assert {len(one.told) for one in searches} == set(range(fewest, most + 1))
    assert {one.kind for one in searches} == set(kinds)
    tool = {"digital_caliper": read_instrument("digital_caliper")}
    for search, (_, readings) in zip(searches, as_read(searches, kinds, tool), strict=True):
        assert {reading.dimension for reading in readings} == set(search.told)


def test_the_same_seed_draws_the_same_searches(kinds: dict[str, KindOfDatabase]) -> None:
    drawn = draw_searches(kinds, "workshop", 40, seed=7)
    assert drawn == draw_searches(kinds, "workshop", 40, seed=7)
    assert drawn != draw_searches(kinds, "workshop", 40, seed=8)


def test_other_finders_find_what_a_look_at_each_part_finds(kinds: dict[str, KindOfDatabase]) -> None:
    searches = draw_searches(kinds, "workshop", 80)
    tool = {"digital_caliper": read_instrument("digital_caliper")}
    found = 0
    limits = {code: PartLimits.of(kind.model, kind.table, kind.parts_of) for code, kind in kinds.items()}
    whole, before = WholeMask(limits), 0
    for code, kind in kinds.items():
        parts = limits[code]
        mask, scan, tree = pandas_mask(parts), numpy_scan(parts), PartTree(parts)
        for _, readings in as_read([one for one in searches if one.kind == code], kinds, tool):
            expected = [
                row for row in range(len(kind.parts_of)) if all(passes(parts, one, row) for one in readings)
            ]
            assert mask(readings).tolist() == scan(readings).tolist() == expected
            assert (whole.finder(code)(readings) - before).tolist() == expected
            if tree.takes(readings):
                assert set(expected) <= set(tree.find(readings).tolist())
            found += len(expected)
        before += len(kind.parts_of)
    assert found > 100


def passes(parts: PartLimits, reading: Reading, row: int) -> bool:
    """Judge one part by one reading, as the finders' module says, without arrays."""
    code = reading.dimension
    lower, upper = float(parts.lower[code][row]), float(parts.upper[code][row])
    if isinstance(reading, AbsentReading):
        return lower in (float("inf"), float("-inf"))
    window = parts.window(reading)
    assert window is not None
    return lower <= window[1] and upper >= window[0]


def test_bytes_of_arrays_are_counted_once_each(kinds: dict[str, KindOfDatabase]) -> None:
    one, other = np.zeros(10, dtype=np.int32), np.zeros(3, dtype=np.float64)
    assert array_bytes({"a": [one, one], "b": (other,)}) == 40 + 24
    table = next(iter(kinds.values())).table
    columns = table.columns.values()
    of_columns = sum(one.lower.nbytes + one.upper.nbytes + one.state.nbytes for one in columns)
    assert array_bytes(table) == of_columns + table.listings.nbytes


@pytest.mark.parametrize("floor", FLOORS)
def test_a_floor_answers_the_same_as_the_service(floor: str, service: Server, tmp_path: Path) -> None:
    answered = httpx.get(service.address + SEARCHED.target, timeout=60)
    file = tmp_path / "answers"
    prepared = {"kind": SEARCHED.kind, "query": SEARCHED.query, "answer": msgspec.Raw(answered.content)}
    file.write_bytes(msgspec.json.encode(prepared) + b"\n")
    assert msgspec.json.decode(file.read_bytes(), type=Prepared).kind == "bushing"
    with serving("tests.benchmarks.floor_server", floor, file) as server:
        path = SEARCHED.target.replace("/v1/", "/floor/") if floor == "plumbing" else SEARCHED.target
        told = httpx.get(server.address + path, timeout=60)
    assert (told.status_code, told.json()) == (200, answered.json())
    assert abs(len(told.content) - len(answered.content)) < 0.01 * len(answered.content)
    if floor == "plumbing":
        passing = {"date", "x-request-id", "content-length"}
        assert told.headers.keys() - passing == answered.headers.keys() - passing


@pytest.mark.needs("wrk")
def test_a_driver_counts_requests_and_the_servers_own_time(service: Server, tmp_path: Path) -> None:
    targets = tmp_path / "targets"
    targets.write_text(f"{SEARCHED.target}\n/v1/kinds\n")
    driven = service.drive(targets, connections=2, seconds=1)
    assert driven.requests > 0 and 0.9 < driven.seconds < 3
    assert 0 < driven.p50_ms <= driven.p95_ms <= driven.p99_ms
    assert driven.cpu_seconds > 0


@pytest.mark.needs("wrk")
def test_a_driver_fails_where_answers_are_refusals(service: Server, tmp_path: Path) -> None:
    targets = tmp_path / "targets"
    targets.write_text("/v1/matches/no-such-kind?bore=12mm\n")
    with pytest.raises(RuntimeError, match="failed"):
        service.drive(targets, connections=1, seconds=1)


def test_a_server_that_does_not_start_is_no_measurement(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="ended with"), serving("api", "serve", "--no-such-option"):
        pass


def test_a_figure_is_said_to_reach_its_aim_or_not() -> None:
    assert at_least("share", 0.25, 0.25, "{:.0%}") == ("share", "25%", "25% or more", "yes")
    assert at_least("share", 0.24, 0.25, "{:.0%}")[-1] == "no"
    assert at_most("times", 10.0, 10, "{:.1f}") == ("times", "10.0", "10.0 or less", "yes")
    assert at_most("times", 10.1, 10, "{:.1f}")[-1] == "no"


@pytest.mark.needs("wrk")
def test_the_command_prints_every_table(service: Server, tmp_path: Path) -> None:
    words = (
        "--searches",
        str(SEARCHES),
        "--seconds",
        "1",
        "--rounds",
        "1",
        "--finder-searches",
        "4",
        "--batch",
        "4",
    )
    data = tmp_path / "data"
    load = [sys.executable, "-m", "api", "load-catalogue", "seed_catalog", "--data", str(data)]
    subprocess.run(load, cwd=ROOT, check=True, capture_output=True)
    command = [sys.executable, "-m", "tests.benchmarks.measure_search", "--data", str(data), *words]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    for heading in ("requests/s", "reached", "finder"):
        assert f" {heading} " in run.stdout
    for floor in FLOORS:
        assert f"workshop: requests/s as share of the {floor} floor" in run.stdout
