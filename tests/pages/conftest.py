"""A real Chromium, headless, that may reach nothing but the service."""

from collections.abc import Iterator

import pytest
from needed_programs import browser_program
from playwright.sync_api import Browser, sync_playwright

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for the session; each test opens its own page."""
    program = browser_program()
    assert program is not None
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=str(program), headless=True, args=ARGUMENTS)
        yield started
        started.close()
