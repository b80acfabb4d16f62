"""Schemathesis against a server in a process of its own: every phase, every check, on both databases.

The short run is seeded, so that it does the same each time; the long one is run by name:
`STARTWRIGHT_FUZZ_EXAMPLES=1000 python -m pytest tests/contract/test_fuzzing.py`.
"""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from commands import started
from databases import BACKENDS, Place, new_place

from api.access.manage_keys import make_access_key

CONFIGURATION = Path(__file__).with_name("schemathesis.toml")
SHORT_RUN = "15"
LEAST_CASES = 2_000
"""Fewer would mean that a phase or most operations were passed over (a short run makes some 2,600)."""
SEED = "20261125"
PATIENCE_SECONDS = 60
"""How long an answer is waited for: the first search after many writes judges every pair of sizes anew, which
takes more than the fuzzer's own ten seconds on a busy machine. How fast it is, the benchmarks say."""
PHASES = "examples,coverage,fuzzing,stateful"


@pytest.mark.parametrize("backend", BACKENDS)
def test_the_server_keeps_to_its_contract(
    backend: str, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    with new_place(backend, "seeded") as place:
        key = admin_key(place)
        quiet = {
            **place.environment,
            "STARTWRIGHT_LOG_LEVEL": "error",
        }  # a log nobody reads would fill its pipe
        with started(**quiet) as server:
            report = fuzz(server.wait_for_address().rstrip("/"), tmp_path, key)
    cases = re.search(r"(\d+) generated", report)
    assert cases is not None, report[-8000:]
    assert int(cases[1]) > LEAST_CASES
    record_property("cases", int(cases[1]))


def admin_key(place: Place) -> str:
    """Make a key with which the fuzzer may change what it likes."""
    database = place.open()
    try:
        with database.write() as writes:
            return make_access_key(writes, "the fuzzer", ("admin",), 1, datetime.now(UTC))[0].text
    finally:
        database.close()


def fuzz(address: str, folder: Path, key: str) -> str:
    """Run every phase and check against a server, which must keep to all; return the report."""
    examples = os.environ.get("STARTWRIGHT_FUZZ_EXAMPLES", SHORT_RUN)
    run = subprocess.run(
        [
            Path(sys.executable).with_name("schemathesis"),
            f"--config-file={CONFIGURATION}",
            "run",
            f"{address}/openapi.json",
            f"--phases={PHASES}",
            "--checks=all",
            f"--request-timeout={PATIENCE_SECONDS}",
            f"--max-response-time={PATIENCE_SECONDS}",
            f"--max-examples={examples}",
            f"--seed={SEED}",
            f"--header=Authorization: Bearer {key}",
            # It would revoke its own key; a journey tests it.
            "--exclude-operation-id=revoke_access_key",
            "--warnings=off",
            "--no-color",
        ],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    report = run.stdout + run.stderr
    assert run.returncode == 0, report[-8000:]
    return report
