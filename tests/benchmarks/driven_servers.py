"""Servers as processes of their own, driven over loopback by `wrk`, and what that took of time and memory."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import attrs
import httpx

from tests.process_figures import cpu_seconds

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = Path(__file__).with_name("wrk_targets.lua")
LONGEST_ANSWER_SECONDS = 60


@attrs.frozen
class Driven:
    """What one run of a driver saw: requests and seconds, latencies (ms), and the server's own CPU time."""

    requests: int
    seconds: float
    mean_ms: float
    p50_ms: float
    p95_ms: float
    p99_ms: float
    cpu_seconds: float

    @property
    def per_second(self) -> float:
        """Return requests per second."""
        return self.requests / self.seconds

    @property
    def cpu_ms(self) -> float:
        """Return the server's CPU time of a request, in milliseconds: what other processes hardly change."""
        return 1000 * self.cpu_seconds / self.requests


@attrs.frozen
class Server:
    """A running server: where it answers, and its process."""

    address: str
    process: int

    def drive(self, targets: Path, connections: int, seconds: float) -> Driven:
        """Let `wrk` send the requests of a file in turn, over so many connections kept open.

        Raises `RuntimeError` where an answer is not a 2xx or a connection fails.
        """
        command = [
            "wrk", "--threads", "1", "--connections", str(connections), "--duration", f"{seconds:g}s",
            "--timeout", f"{LONGEST_ANSWER_SECONDS}s", "--script", str(SCRIPT), self.address,
            "--", str(targets),
        ]  # fmt: skip
        before = self.cpu_seconds()
        run = subprocess.run(command, capture_output=True, text=True, check=True)
        used = self.cpu_seconds() - before
        line = next(one for one in run.stdout.splitlines() if one.startswith("measured "))
        seen = json.loads(line.removeprefix("measured "))
        if seen["failed"]:
            raise RuntimeError(f"{seen['failed']} of {seen['requests']} requests failed")
        return Driven(
            requests=seen["requests"],
            seconds=seen["microseconds"] / 1e6,
            mean_ms=seen["mean"] / 1000,
            p50_ms=seen["p50"] / 1000,
            p95_ms=seen["p95"] / 1000,
            p99_ms=seen["p99"] / 1000,
            cpu_seconds=used,
        )

    def call(self, path: str, body: bytes, times: int) -> Driven:
        """Post one body so many times, one call after the other; latencies are those of the fastest call.

        Raises `HTTPStatusError` where one is refused.
        """
        headers = {"content-type": "application/json"}
        seconds = []
        before = self.cpu_seconds()
        with httpx.Client(base_url=self.address, timeout=600) as client:
            for _ in range(times):
                began = time.perf_counter()
                client.post(path, content=body, headers=headers).raise_for_status()
                seconds.append(time.perf_counter() - began)
        least_ms = 1000 * min(seconds)
        return Driven(
            requests=times,
            seconds=times * min(seconds),
            mean_ms=least_ms,
            p50_ms=least_ms,
            p95_ms=least_ms,
            p99_ms=least_ms,
            cpu_seconds=self.cpu_seconds() - before,
        )

    def cpu_seconds(self) -> float:
        """Return the CPU time that the process has used, in seconds."""
        return cpu_seconds(self.process)

    def memory_bytes(self) -> dict[str, int]:
        """Return the resident memory of the process, and how much of it no other process can share."""
        found = {}
        for line in Path(f"/proc/{self.process}/smaps_rollup").read_text().splitlines()[1:]:
            name, value = line.split()[:2]
            found[name.rstrip(":")] = int(value) * 1024
        return {"resident": found["Rss"], "private": found["Private_Clean"] + found["Private_Dirty"]}


@contextmanager
def serving(*words: str | Path, **settings: str) -> Iterator[Server]:
    """Run `python -m WORDS` until it prints its address; it is ended when the block is left."""
    plain = {name: value for name, value in os.environ.items() if not name.startswith("STARTWRIGHT_")}
    process = subprocess.Popen(
        [sys.executable, "-m", *map(str, words)],
        cwd=ROOT,
        env={**plain, **settings},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,  # the log of the requests, which a pipe would stop
        text=True,
    )
    try:
        assert process.stdout is not None
        address = next((line for line in process.stdout if line.startswith("Open ")), None)
        if address is None:
            raise RuntimeError(f"{' '.join(map(str, words))} ended with {process.wait()}")
        yield Server(address.removeprefix("Open ").strip().rstrip("/"), process.pid)
    finally:
        process.terminate()
        process.wait()


def best(runs: Sequence[Driven]) -> Driven:
    """Return the run that served most: the one that other processes disturbed least."""
    return max(runs, key=lambda run: run.per_second)
