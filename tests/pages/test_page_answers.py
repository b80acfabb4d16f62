"""The pages as plain HTTP: caches, methods, names that mean nothing, and what a page may load."""

import httpx
import pytest

PAGES = ["/", "/docs", "/openapi.json", "/static/startwright.css", "/static/docs.js"]
MEDIA_TYPES = {
    "/": "text/html; charset=utf-8",
    "/openapi.json": "application/json",
    "/static/startwright.css": "text/css; charset=utf-8",
    "/static/docs.js": "text/javascript; charset=utf-8",
    "/static/vendor/swagger-ui/LICENSE": "text/plain; charset=utf-8",
}
NAMES_OF_NOTHING = {
    "no such file": "/static/nothing.css",
    "a folder": "/static/vendor",
    "the root": "/static/",
    "above the folder": "/static/%2e%2e/routes.py",
    "an absolute path": "/static/%2fetc/passwd",
    "beneath a file": "/static/startwright.css/x",
    "a NUL": "/static/a%00b",
    "a line feed": "/static/a%0Ab",
    "not UTF-8": "/static/%ff",
    "longer than any file's name": "/static/" + "a" * 300,
}


@pytest.mark.parametrize("path", PAGES)
def test_what_has_not_changed_is_not_sent_again(service: httpx.Client, path: str) -> None:
    """RFC 9110 13.1.2 and 15.4.5: If-None-Match with the current tag, or any in a list, answers 304."""
    first = service.get(path)
    tag = first.headers["etag"]
    assert (first.status_code, first.headers["cache-control"]) == (200, "no-cache")
    for condition in (tag, f'"other", W/{tag}', "*"):
        again = service.get(path, headers={"If-None-Match": condition})
        assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
    assert service.get(path, headers={"If-None-Match": '"other"'}).status_code == 200


@pytest.mark.parametrize("path", PAGES)
def test_head_tells_what_get_would_send(service: httpx.Client, path: str) -> None:
    got, head = service.get(path), service.head(path)
    assert (head.status_code, head.content) == (200, b"")
    for name in ("etag", "content-type", "content-length"):
        assert head.headers[name] == got.headers[name]


@pytest.mark.parametrize(("path", "media_type"), MEDIA_TYPES.items())
def test_files_say_what_they_are(service: httpx.Client, path: str, media_type: str) -> None:
    assert service.get(path).headers["content-type"] == media_type


@pytest.mark.parametrize("path", NAMES_OF_NOTHING.values(), ids=NAMES_OF_NOTHING)
def test_a_name_of_no_file_is_a_problem_of_its_own_kind(service: httpx.Client, path: str) -> None:
    answer = service.get(path)
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["type"].endswith("/no-such-path")


@pytest.mark.parametrize("path", [*PAGES, "/static/vendor/swagger-ui/LICENSE", "/v1/numbers/a/b"])
def test_another_method_is_told_which_are_offered(service: httpx.Client, path: str) -> None:
    answer = service.post(path)
    assert answer.status_code == 405
    assert answer.headers["allow"] == "GET, HEAD, OPTIONS"


@pytest.mark.parametrize("path", [*PAGES, "/v1/kinds", "/static/nothing.css"])
def test_no_answer_lets_a_browser_run_or_style_anything_inline(service: httpx.Client, path: str) -> None:
    policy = service.get(path).headers["content-security-policy"]
    assert "script-src 'self'; style-src 'self'; " in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("path", PAGES)
def test_pages_are_served_to_allowed_hosts_alone(service: httpx.Client, path: str) -> None:
    answer = service.get(path, headers={"Host": "elsewhere.example"})
    assert answer.status_code == 400
    assert answer.json()["type"].endswith("/host-not-served")
