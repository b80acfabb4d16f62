"""`serve --workers`: several processes answer for one, share limits and what is under way, and are replaced.

Which worker answers is settled by stopping the other (SIGSTOP): the socket is one for all.
"""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, ThreadPoolExecutor, wait
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest
from commands import Serving, started, startwright
from databases import Place
from keyed_service import bearer, kept, new_key, once, supplier

from api.access.store import mark_used
from api.wear_parts.catalogue_version import lock_version

SUPPLIERS = "/v1/suppliers"
QUOTA = 30


@contextmanager
def two_workers(place: Place, **settings: str) -> Iterator[tuple[Serving, str, list[int]]]:
    """Serve with two workers; yield the server, its address and the ids of both processes."""
    quiet = {**place.environment, "STARTWRIGHT_LOG_LEVEL": "error", **settings}
    with started("--workers", "2", **quiet) as server:
        address = server.wait_for_address().rstrip("/")
        workers = workers_of(server)
        assert len(workers) == 2
        try:
            yield server, address, workers
        finally:
            for worker in workers_of(server):
                os.kill(worker, signal.SIGCONT)


def workers_of(server: Serving) -> list[int]:
    """Return the processes that a server has started to answer."""
    found = []
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):  # it has ended meanwhile
            parent = int((process / "stat").read_text().rpartition(")")[2].split()[1])
            if parent == server.process.pid and b"spawn_main" in (process / "cmdline").read_bytes():
                found.append(int(process.name))
    return sorted(found)


@contextmanager
def stopped(worker: int) -> Iterator[None]:
    """Let a worker do nothing while the block runs."""
    os.kill(worker, signal.SIGSTOP)
    try:
        yield
    finally:
        os.kill(worker, signal.SIGCONT)


def test_workers_share_the_limits_and_each_answers_from_the_same_catalogue(place: Place) -> None:
    key, _ = new_key(place, "prices")
    body = supplier()
    with two_workers(place, STARTWRIGHT_ADDRESS_QUOTA=str(QUOTA)) as (_, address, workers):
        with stopped(workers[0]):
            made = httpx.post(address + SUPPLIERS, json=body, headers={**bearer(key), **once()}, timeout=60)
            assert made.status_code == 201, made.text
        answered = []
        for worker in [*workers, *workers]:
            with stopped(worker):
                answered += [
                    httpx.get(f"{address}{SUPPLIERS}/{body['code']}", timeout=60) for _ in range(QUOTA // 3)
                ]
        figures = httpx.get(f"{address}/metrics", headers=bearer(key), timeout=60).text
    assert [one.status_code for one in answered] == [200] * QUOTA + [429] * (len(answered) - QUOTA)
    left = [int(*re.findall(r"r=(\d+)", one.headers["ratelimit"])) for one in answered[:QUOTA]]
    assert left == list(reversed(range(QUOTA)))
    counted = re.findall(r'requests_total\{.*path="/v1/suppliers/{code}",status_code="200"\} (.+)', figures)
    assert [float(one) for one in counted] == [QUOTA]


def test_a_worker_knows_what_the_other_is_working_on(place: Place) -> None:
    """Both are asked at once, over connections that they have accepted; which is first does not matter."""
    key, stored = new_key(place, "prices")
    with closing(place.open()) as database, database.write() as writes:
        # Else a worker may be stopped while it notes this after its answer, and the other could not write.
        mark_used(writes, stored.id, datetime.now(UTC).date() + timedelta(days=1))
    body, headers = supplier(), {**bearer(key), **once()}
    with two_workers(place) as (_, address, workers), ThreadPoolExecutor(2) as pool, ExitStack() as stack:
        clients = [stack.enter_context(httpx.Client(base_url=address, timeout=60)) for _ in workers]
        held_up = stack.enter_context(closing(place.open()))
        with held_up.write() as writes:
            lock_version(writes)  # every writer of the catalogue waits for it
            for client, idle in zip(clients, reversed(workers), strict=True):
                with stopped(idle):
                    assert client.get("/health/live").status_code == 200
            both = [pool.submit(client.post, SUPPLIERS, json=body, headers=headers) for client in clients]
            done, waiting = wait(both, timeout=20, return_when=FIRST_COMPLETED)
            (refused,) = (one.result() for one in done)
            assert refused.status_code == 409, refused.text
            assert refused.json()["type"].endswith("/still-working")
            (first,) = waiting
        assert first.result().status_code == 201
        for worker in workers:
            with stopped(worker):
                again = httpx.post(address + SUPPLIERS, json=body, headers=headers, timeout=60)
                assert again.content == first.result().content
    assert sum(body["code"] in row for row in kept(place)["supplier"]) == 1


def test_a_worker_that_dies_is_replaced_and_all_end_together(place: Place) -> None:
    with two_workers(place) as (server, address, workers):
        os.kill(workers[0], signal.SIGKILL)
        deadline = time.monotonic() + 30
        while len(now := workers_of(server)) < 2 or workers[0] in now:
            assert time.monotonic() < deadline
            time.sleep(0.1)
        assert httpx.get(f"{address}/health/ready", timeout=60).status_code == 200
        assert server.stop() == 0
        assert not any(Path(f"/proc/{worker}").exists() for worker in now)


@pytest.mark.parametrize("count", ["0", "65", "two"])
def test_a_number_of_workers_that_cannot_be_is_refused(tmp_path: Path, count: str) -> None:
    done = startwright("serve", "--port", "0", "--data", tmp_path, "--workers", count)
    assert done.returncode == 2
    assert "'--workers'" in done.stderr


def test_matrix_products_stay_in_the_thread_that_asks() -> None:
    """In a process of its own: the limit holds for the whole of it."""
    asked = (
        "import numpy, json, threadpoolctl; from api.serving import compute_in_one_thread; "
        "compute_in_one_thread(); print(json.dumps(threadpoolctl.threadpool_info()))"
    )
    run = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    pools = [one for one in json.loads(run.stdout) if one["user_api"] == "blas"]
    assert pools
    assert {one["num_threads"] for one in pools} == {1}


def test_what_is_built_at_the_start_is_not_gone_through_for_garbage(tmp_path: Path) -> None:
    """In a process of its own, built as a worker builds it: the collector looks at next to nothing of it."""
    asked = (
        "import gc, pathlib, sys; from api.serving import app_of_worker; from api.settings import Settings; "
        "app_of_worker(Settings(data=pathlib.Path(sys.argv[1]), database_url=None)); "
        "print(gc.get_freeze_count(), len(gc.get_objects()))"
    )
    run = subprocess.run([sys.executable, "-c", asked, tmp_path], capture_output=True, text=True, check=True)
    left_aside, looked_at = map(int, run.stdout.split())
    assert left_aside > 100 * looked_at
