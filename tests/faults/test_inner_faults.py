"""A fault of our own answers 500 and says nothing of what happened inside."""

import httpx
import pytest
from databases import new_place
from running_service import serving

from api import health

SECRET = "the-password-is-hunter2"


def test_a_500_echoes_nothing(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def fail() -> str:
        raise RuntimeError(SECRET)

    monkeypatch.setattr(health, "newest_migration", fail)
    with new_place("sqlite", "migrated") as place, serving(place) as address:
        answer = httpx.get(f"{address}/health/ready", headers={"x-request-id": "request-of-this-test"})
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["type"].endswith("internal-fault")
    assert answer.headers["x-request-id"] == "request-of-this-test"
    assert not any(word in answer.text for word in (SECRET, "RuntimeError", "Traceback", ".py"))
    logged = capsys.readouterr().out
    assert "internal_fault" in logged and "request-of-this-test" in logged
    assert "RuntimeError" in logged
