"""Access keys from the command line, on both databases: made and shown once, listed, revoked."""

import subprocess
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from commands import startwright
from databases import Place

from api.access.admit_key import judge_text
from api.access.judge_key import Live, Refused
from api.access.keys import read_key
from api.database import open_database
from api.settings import DATABASE_FILE


def made(place: Place, *words: str) -> subprocess.CompletedProcess[str]:
    return startwright("make-key", *words, **place.environment)


def judged(place: Place, text: str, days: int = 0) -> Live | Refused:
    with closing(place.open()) as database, database.read() as reads:
        return judge_text(reads, text, datetime.now(UTC) + timedelta(days=days))


def test_a_key_is_made_used_listed_and_revoked(place: Place) -> None:
    done = made(place, "--holder", "Front counter", "--scope", "prices", "--scope", "catalogue")
    assert done.returncode == 0, done.stderr
    (text,) = done.stdout.splitlines()
    parts = read_key(text)
    assert "shown this once" in done.stderr and text not in done.stderr
    admitted = judged(place, text)
    assert isinstance(admitted, Live)
    assert (admitted.key.holder, admitted.key.scopes) == ("Front counter", ("catalogue", "prices"))
    assert isinstance(judged(place, text, days=364), Live)
    assert judged(place, text, days=365) == Refused("expired")

    listed = startwright("list-keys", **place.environment)
    assert (listed.returncode, listed.stderr) == (0, "")
    assert text not in listed.stdout and parts.digest not in listed.stdout
    (line,) = listed.stdout.splitlines()
    for told in (
        parts.shown,
        "live",
        "Front counter",
        "catalogue, prices",
        "last used never",
        admitted.key.id,
    ):
        assert told in line

    revoked = startwright("revoke-key", admitted.key.id, **place.environment)
    assert revoked.returncode == 0, revoked.stderr
    assert "revoked" in revoked.stdout
    assert judged(place, text) == Refused("revoked")
    assert startwright("revoke-key", parts.shown, **place.environment).stdout == revoked.stdout


def test_a_third_key_is_refused_until_one_is_revoked(place: Place) -> None:
    words = ("--holder", "Shop software", "--scope", "estimates", "--scope", "estimates")
    texts = [made(place, *words).stdout.strip() for _ in range(2)]
    third = made(place, *words)
    assert (third.returncode, third.stdout) == (1, "")
    assert "revoke one of them first" in third.stderr and "Traceback" not in third.stderr
    shown = read_key(texts[0]).shown
    assert shown in third.stderr
    assert startwright("revoke-key", shown, **place.environment).returncode == 0
    assert made(place, *words).returncode == 0


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("--holder", "Counter", "--scope", "everything"), 2, "everything"),
        (("--holder", "Counter", "--scope", "prices", "--days", "731"), 2, "days"),
        (("--holder", "two\nlines", "--scope", "prices"), 1, "holder"),
    ],
)
def test_what_cannot_be_made_is_told_and_no_key_is_printed(
    words: tuple[str, ...], status: int, told: str, tmp_path: Path
) -> None:
    done = startwright("make-key", *words, "--data", tmp_path)
    assert (done.returncode, done.stdout) == (status, "")
    assert told in done.stderr and "Traceback" not in done.stderr


def test_a_key_that_is_not_there_cannot_be_revoked(tmp_path: Path) -> None:
    done = startwright("revoke-key", "startwright_aaaaaaaa", "--data", tmp_path)
    assert (done.returncode, done.stdout) == (1, "")
    assert "access key" in done.stderr and len(done.stderr.splitlines()) == 1


def test_the_text_of_a_key_is_nowhere_in_the_data_folder(tmp_path: Path) -> None:
    text = startwright(
        "make-key", "--holder", "Counter", "--scope", "admin", "--data", tmp_path
    ).stdout.strip()
    with closing(open_database(None, tmp_path / DATABASE_FILE)) as database, database.read() as reads:
        assert isinstance(judge_text(reads, text, datetime.now(UTC)), Live)
    secret = text.rsplit("_", 1)[1].encode()
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert files and not any(secret in path.read_bytes() for path in files)
