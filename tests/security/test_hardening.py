"""What no request may reach: code run from text, another method, a second line in the log."""

import ast
import json
import re
from pathlib import Path

import httpx
import pytest
from commands import started

ROOT = Path(__file__).resolve().parents[2]
RUNS_TEXT = {"eval", "exec", "compile", "__import__"}
UNSAFE_MODULES = {"pickle", "marshal", "shelve", "xml", "lxml", "yaml", "telnetlib", "ftplib"}


def test_no_text_is_run_and_nothing_unsafe_is_read() -> None:
    """No evaluated text, no shell, no format that carries objects, no XML anywhere in the package."""
    found = []
    for path in sorted((ROOT / "api").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            place = f"{path.relative_to(ROOT)}:{getattr(node, 'lineno', 0)}"
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in RUNS_TEXT:
                found.append(place)
            if isinstance(node, ast.keyword) and node.arg == "shell":
                found.append(place)
            if isinstance(node, ast.Import | ast.ImportFrom):
                names = [one.name for one in node.names] + [getattr(node, "module", None) or ""]
                found += [place for name in names if name.split(".")[0] in UNSAFE_MODULES]
    assert found == []


@pytest.mark.parametrize("method", ["TRACE", "TRACK", "CONNECT", "DELETE", "PROPFIND"])
def test_methods_that_are_not_offered_are_refused(service: httpx.Client, method: str) -> None:
    for path in ("/v1/suppliers", "/"):
        answer = service.request(method, path, headers={"X-Secret": "not-to-be-echoed"})
        assert answer.status_code in (400, 404, 405)
        assert "not-to-be-echoed" not in answer.text


@pytest.mark.parametrize(
    "text", ["' OR 1=1 --", '" OR ""="', "x'; DROP TABLE supplier; --", "%27%20OR%201=1", "%", "_", "\\"]
)
def test_text_that_means_something_to_a_database_means_nothing_here(service: httpx.Client, text: str) -> None:
    everything = service.get("/v1/suppliers").json()["total"]
    for path in ("/v1/suppliers/", "/v1/families/", "/v1/parts/", "/v1/starters/"):
        assert service.get(path + httpx.URL("", path=text).raw_path.decode().lstrip("/")).status_code == 404
    assert service.get("/v1/offers", params={"supplier": text}).status_code == 404
    assert service.get("/v1/suppliers").json()["total"] == everything > 0


def test_every_event_is_one_line_of_json_in_utc(tmp_path: Path) -> None:
    """A line break or a quote that somebody sends begins no second event."""
    with started("--data", tmp_path / "data", STARTWRIGHT_LOG_LEVEL="debug") as server:
        address = server.wait_for_address().rstrip("/")
        for sent in ("a%0Ab", 'a%0D%0A{"event":"forged"}', "%22%7D%0A%7B", "%E2%80%A8forged", "%1B%5B31mred"):
            assert httpx.get(f"{address}/v1/nothing/{sent}").status_code == 404
        server.stop()
    events = [json.loads(line) for line in server.errors.splitlines()]
    answered = [one for one in events if one["event"] == "answered"]
    assert len(answered) == 5 and not [one for one in events if one["event"] == "forged"]
    for one in answered:
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT[\d:.]+Z", one["timestamp"])
        assert {"request", "method", "path", "status", "milliseconds", "level", "logger"} <= set(one)
        assert str(one["path"]).isprintable()
