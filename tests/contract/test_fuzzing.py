"""Schemathesis against the running server: every phase, every check, on both databases.

The short run is seeded, so that it does the same each time; the long one is run by name:
`STARTWRIGHT_FUZZ_EXAMPLES=1000 python -m pytest tests/contract/test_fuzzing.py`.
"""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import httpx

CONFIGURATION = Path(__file__).with_name("schemathesis.toml")
SHORT_RUN = "15"
SEED = "20261125"
PHASES = "examples,coverage,fuzzing,stateful"


def test_the_server_keeps_to_its_contract(
    service: httpx.Client, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    examples = os.environ.get("STARTWRIGHT_FUZZ_EXAMPLES", SHORT_RUN)
    address = str(service.base_url).rstrip("/")
    run = subprocess.run(
        [
            Path(sys.executable).with_name("schemathesis"),
            f"--config-file={CONFIGURATION}",
            "run",
            f"{address}/openapi.json",
            f"--phases={PHASES}",
            "--checks=all",
            f"--max-examples={examples}",
            f"--seed={SEED}",
            "--warnings=off",
            "--no-color",
        ],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    report = run.stdout + run.stderr
    assert run.returncode == 0, report[-8000:]
    cases = re.search(r"(\d+) generated", report)
    assert cases is not None, report[-8000:]
    assert int(cases[1]) > 300
    record_property("cases", int(cases[1]))
