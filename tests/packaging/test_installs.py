"""The service runs from a wheel, from an editable install and from a checkout, started in another folder."""

import os
import statistics
import subprocess
import sys
import sysconfig
import venv
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from process_figures import cpu_seconds

ROOT = Path(__file__).resolve().parents[2]
LIBRARIES = sysconfig.get_paths()["purelib"]
FOUNDATIONS = (
    "alembic.command, highspy, litestar, msgspec, numpy, scipy.optimize, scipy.special, sqlmodel, uvicorn"
)
MOST_TIMES_FOUNDATIONS = 3.4
"""At most so many times what Python takes to import the libraries beneath, until /health/ready answers.

On a quiet machine that takes 1.3 to 1.45 seconds, and 5 are promised from the start to the answer.
Both are processor time, the libraries' the mean of before and after: a busy machine, which stretches either,
stretches both.
"""


@dataclass(frozen=True)
class Installed:
    """How one way of installing is started."""

    command: list[str]
    environment: dict[str, str]


def run(*command: str | Path, **settings: str) -> None:
    done = subprocess.run(
        [str(word) for word in command],
        env={**os.environ, **settings},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT)
    return next(folder.glob("*.whl"))


def new_environment(folder: Path, *install: str | Path) -> Installed:
    """Make a virtual environment that borrows this one's libraries, and install this project in it."""
    venv.create(folder, with_pip=False)
    python = folder / "bin" / "python"
    packages = next((folder / "lib").glob("python*/site-packages"))
    borrowed = packages / "borrowed_libraries.pth"
    borrowed.write_text(f"{LIBRARIES}\n")
    pip = (sys.executable, "-m", "pip", "--python", python)
    run(*pip, "install", "--ignore-installed", "--no-deps", "--no-index", "--no-build-isolation", *install)
    return Installed([str(folder / "bin" / "startwright")], {})


@pytest.fixture(params=["wheel", "editable", "checkout"])
def installed(request: pytest.FixtureRequest, tmp_path: Path) -> Installed:
    if request.param == "wheel":
        return new_environment(tmp_path / "venv", request.getfixturevalue("wheel"))
    if request.param == "editable":
        return new_environment(tmp_path / "venv", "-e", ROOT)
    return Installed([sys.executable, "-m", "api"], {"PYTHONPATH": str(ROOT)})


def foundation_seconds() -> float:
    """Return the processor seconds that a bare interpreter takes to import the libraries beneath."""
    timed = f"import {FOUNDATIONS}; import time; print(time.process_time())"
    return float(
        subprocess.run([sys.executable, "-c", timed], capture_output=True, text=True, check=True).stdout
    )


@pytest.fixture
def started(installed: Installed, tmp_path: Path) -> Iterator[tuple[str, float]]:
    """Start the service in a folder of its own; yield its address, and its time in foundations."""
    beneath = foundation_seconds()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    environment = {name: value for name, value in os.environ.items() if not name.startswith("STARTWRIGHT_")}
    process = subprocess.Popen(
        [*installed.command, "serve", "--port", "0"],
        cwd=elsewhere,
        env={**environment, **installed.environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None and process.stderr is not None
    try:
        line = process.stdout.readline()
        assert line.startswith("Open http://"), line + (process.stderr.read() if process.poll() else "")
        address = line.removeprefix("Open ").strip()
        assert httpx.get(f"{address}health/ready").status_code == 200
        took = cpu_seconds(process.pid)
        yield address, took / statistics.mean((beneath, foundation_seconds()))
    finally:
        process.terminate()
        process.communicate(timeout=20)
    assert process.returncode in (0, -15)


def test_it_is_ready_in_time_and_answers_the_main_job(started: tuple[str, float]) -> None:
    address, times_foundations = started
    assert times_foundations <= MOST_TIMES_FOUNDATIONS
    match = httpx.get(f"{address}v1/matches/bushing?bore=12.62mm&length=11.9mm").json()
    assert match["candidates"][0]["part"]["size"].startswith("bush-12.5x16")
    assert httpx.get(f"{address}docs").status_code == 200
    assert httpx.get(f"{address}static/startwright.css").status_code == 200


def test_the_wheel_installs_one_package_and_carries_what_travels(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert {name.split("/")[0] for name in names if ".dist-info/" not in name} == {"api"}
    assert "api/_travelling/migrations/env.py" in names
    assert "api/_travelling/seed_catalog/kinds/bushing.toml" in names
    assert "api/pages/static/vendor/swagger-ui/LICENSE" in names
    assert len(names) == len(set(names))


def test_an_editable_install_works_on_the_checkouts_own_files(tmp_path: Path) -> None:
    """The build backend copies what travels even then; that copy is never looked at: it cannot go stale."""
    new_environment(tmp_path / "venv", "-e", ROOT)
    asked = "from api.travelling import travelling; print(travelling('migrations'))"
    python = tmp_path / "venv" / "bin" / "python"
    told = subprocess.run([python, "-c", asked], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert Path(told.stdout.strip()) == ROOT / "migrations"
    assert not (ROOT / "api" / "_travelling").exists()
