"""What a killed run of the tests left is removed by the next one; what a living run holds stays."""

import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from private_postgresql import start_cluster
from process_figures import is_over
from run_folder import CLUSTER, RunFolder, remove_what_killed_runs_left, shared_folder
from waited_for import wait_until

TESTS = Path(__file__).parents[1]

KILLED_RUN = """
import os, signal, sys
from pathlib import Path
from run_folder import RunFolder

held = RunFolder(Path(sys.argv[1]))
print(held.path, flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def place() -> Path:
    """Where runs make their folders; the server's unprivileged user may enter it."""
    folder = Path(tempfile.mkdtemp(dir=shared_folder(), prefix="runs-"))
    folder.chmod(0o711)
    return folder


@pytest.fixture
def left(place: Path) -> Path:
    """The folder of a run that was killed while it held it."""
    command = [sys.executable, "-c", KILLED_RUN, place]
    killed = subprocess.run(command, cwd=TESTS, capture_output=True, text=True, check=False)
    assert killed.returncode == -signal.SIGKILL, killed.stderr
    return Path(killed.stdout.strip())


def test_a_living_runs_folder_stays(place: Path) -> None:
    held = RunFolder(place)
    remove_what_killed_runs_left(place)
    assert held.path.exists()
    held.remove()
    assert not held.path.exists()


def test_a_killed_runs_folder_is_removed(place: Path, left: Path) -> None:
    assert left.exists()
    remove_what_killed_runs_left(place)
    assert not left.exists()


@pytest.mark.needs("postgresql")
@pytest.mark.parametrize("killed", [False, True], ids=["a running server", "a killed server"])
def test_it_is_removed_with_its_server(place: Path, left: Path, killed: bool) -> None:
    start_cluster(left / CLUSTER)
    process = int((left / CLUSTER / "data" / "postmaster.pid").read_text().splitlines()[0])
    if killed:
        os.kill(process, signal.SIGKILL)
        wait_until(lambda: is_over(process))
    remove_what_killed_runs_left(place)
    assert not left.exists()
    wait_until(lambda: is_over(process))


def test_one_that_resists_stops_no_run(place: Path, left: Path) -> None:
    (left / CLUSTER).symlink_to("nowhere")
    left.rename(left.with_name(f"{left.name}-whole"))
    left.touch()  # neither a folder nor gone
    remove_what_killed_runs_left(place)
    assert left.exists()
    assert not left.with_name(f"{left.name}-whole").exists()
