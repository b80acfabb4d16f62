"""The measurement of a comparison runs; what it finds hangs on the machine and is not judged here."""

import subprocess
import sys
from pathlib import Path

from benchmarks.measure_comparison import measure

ROOT = Path(__file__).resolve().parents[2]


def test_a_small_comparison_is_measured_against_a_bare_handler() -> None:
    found = measure(positions=1, replacements=1, rounds=1)
    assert found.compared_ms > found.bare_ms > 0
    assert found.compared_ms > found.within_ms > 0
    assert found.ratio > 1


def test_the_command_prints_the_ratio() -> None:
    command = [
        sys.executable,
        "-m",
        "tests.benchmarks.measure_comparison",
        "--positions",
        "2",
        "--rounds",
        "1",
    ]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert run.stdout.startswith("2 positions, 3 replacements, 20000 histories: ")
