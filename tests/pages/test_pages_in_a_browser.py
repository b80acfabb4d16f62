"""The pages in a real browser: they work, keep to this host, fit a phone and can be used by keyboard."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.needs("browser")

ON_ONE_DATABASE = pytest.mark.parametrize("service", ["sqlite"], indirect=True)
"""For pages in which nothing comes from the database."""


@dataclass
class Visit:
    """A page with everything that it requested and complained of."""

    page: Page
    requested: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


@pytest.fixture
def visit(browser: Browser) -> Iterator[Visit]:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    seen = Visit(page)
    page.on("request", lambda request: seen.requested.append(request.url))
    page.on("console", lambda said: seen.complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    yield seen
    page.close()


def foreign(requested: list[str], service: httpx.Client) -> list[str]:
    own = (str(service.base_url), "data:", "blob:")
    return [url for url in requested if not url.startswith(own)]


def test_the_front_page_says_what_it_holds_and_every_link_answers(
    service: httpx.Client, visit: Visit
) -> None:
    visit.page.goto(str(service.base_url))
    assert visit.page.locator("h1").inner_text() == "Startwright"
    assert "833" in visit.page.locator("dl").inner_text()  # wear parts of the seed catalogue
    addresses = [link.get_attribute("href") for link in visit.page.locator("a").all()]
    assert len(addresses) >= 6
    assert {service.get(str(address)).status_code for address in addresses} == {200}
    assert visit.complaints == []
    assert foreign(visit.requested, service) == []


def test_the_front_page_fits_a_phone(service: httpx.Client, visit: Visit) -> None:
    visit.page.set_viewport_size({"width": 360, "height": 740})
    visit.page.goto(str(service.base_url))
    assert visit.page.evaluate("document.documentElement.scrollWidth") <= 360


def test_every_link_of_the_front_page_is_reached_by_keyboard(service: httpx.Client, visit: Visit) -> None:
    visit.page.goto(str(service.base_url))
    reached = set()
    for _ in range(visit.page.locator("a").count()):
        visit.page.keyboard.press("Tab")
        reached.add(visit.page.evaluate("document.activeElement.getAttribute('href')"))
    assert reached == {link.get_attribute("href") for link in visit.page.locator("a").all()}


def test_the_front_page_works_without_javascript(service: httpx.Client, browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(str(service.base_url))
    assert page.locator("h2").count() == 3
    context.close()


def test_the_focused_link_is_seen(service: httpx.Client, visit: Visit) -> None:
    visit.page.goto(str(service.base_url))
    style = "getComputedStyle(document.querySelector('a')).outlineStyle"
    assert visit.page.evaluate(style) == "none"
    visit.page.keyboard.press("Tab")
    assert visit.page.evaluate(style) == "solid"


def test_the_front_page_defers_to_those_who_know_the_vehicle(service: httpx.Client, visit: Visit) -> None:
    visit.page.goto(str(service.base_url))
    caution = visit.page.locator(".caution").inner_text()
    for words in (
        "maker's service manual",
        "local rules",
        "licensed repairer",
        "aircraft, marine or medical",
    ):
        assert words in caution.replace("\n", " ")


@ON_ONE_DATABASE
def test_the_contract_fits_a_phone(service: httpx.Client, visit: Visit) -> None:
    visit.page.set_viewport_size({"width": 360, "height": 740})
    visit.page.goto(str(service.base_url.join("/docs")))
    visit.page.locator(".opblock").first.wait_for()
    assert visit.page.evaluate("document.documentElement.scrollWidth") <= 360


OPEN_ONE_OF_EACH_TAG = """async () => {
    let opened = 0;
    for (const section of document.querySelectorAll('.opblock-tag-section')) {
        const block = section.querySelector('.opblock');
        block.querySelector('.opblock-summary-control').click();
        for (let wait = 0; wait < 400 && !block.querySelector('.responses-wrapper'); wait++)
            await new Promise(resolve => setTimeout(resolve, 25));
        opened += block.querySelector('.responses-wrapper') ? 1 : 0;
        block.querySelector('.opblock-summary-control').click();
    }
    return opened;
}"""
"""All operations open, even one after the other, take minutes to draw."""


@ON_ONE_DATABASE
def test_operations_open_without_another_host_or_a_broken_rule(service: httpx.Client, visit: Visit) -> None:
    visit.page.goto(str(service.base_url.join("/docs")))
    visit.page.locator(".opblock").first.wait_for()
    document = service.get("/openapi.json").json()
    told = [one for methods in document["paths"].values() for one in methods.values()]
    expect(visit.page.locator(".opblock")).to_have_count(len(told))
    assert visit.page.evaluate(OPEN_ONE_OF_EACH_TAG) == len({one["tags"][0] for one in told})
    assert visit.complaints == []
    assert foreign(visit.requested, service) == []


@ON_ONE_DATABASE
@pytest.mark.parametrize("operation", ["kinds-list_kinds", "matches-get_matches"])
def test_an_operation_is_tried_out_as_it_stands(service: httpx.Client, visit: Visit, operation: str) -> None:
    visit.page.goto(str(service.base_url.join("/docs")))
    tried = visit.page.locator(f"#operations-{operation}")
    tried.wait_for()
    tried.locator("button").first.click()
    tried.locator("button.execute").click()
    status = tried.locator(".live-responses-table tbody .response-col_status").first
    status.wait_for()
    assert status.inner_text().startswith("200")
    assert visit.complaints == []
    assert foreign(visit.requested, service) == []
