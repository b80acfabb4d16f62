"""The report of comparisons prints its tables; what they say is tested where it is computed."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_the_command_prints_deviations_differences_and_worked_comparisons() -> None:
    command = [sys.executable, "-m", "tests.benchmarks.report_comparison", "--settings", "20", "--quick"]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert "package relife" in run.stdout
    assert "20 random settings" in run.stdout
    assert "both contacts burnt" in run.stdout
