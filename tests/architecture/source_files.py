"""The project's own Python files, read once, for the tests of structure."""

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def tracked_files() -> tuple[Path, ...]:
    """Return every file that belongs to the project; outside a git checkout, every file that is there."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode == 0:
        return tuple(path for line in listed.stdout.splitlines() if (path := ROOT / line).is_file())
    return tuple(path for path in ROOT.rglob("*") if path.is_file() and ".venv" not in path.parts)


def python_files(*folders: str) -> Iterator[Path]:
    """Return the Python files beneath some top-level folders."""
    for path in tracked_files():
        if path.suffix == ".py" and path.relative_to(ROOT).parts[0] in folders:
            yield path


@cache
def syntax(path: Path) -> ast.Module:
    """Return a file's syntax tree."""
    return ast.parse(path.read_text("utf-8"))
