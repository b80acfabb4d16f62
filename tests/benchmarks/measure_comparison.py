"""How many times a bare handler's time a comparison over months takes.

The bare handler decodes the same body as JSON and encodes the same answer. It stands in an application of its
own (the web framework alone, the stricter measure) and in the same service, whose middleware both then pass.
All are asked in turn by one client over loopback connections that are kept open; the medians are compared. No
answer is kept between calls.
Run from the checkout: `python -m tests.benchmarks.measure_comparison`.
"""

import json
import statistics
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import attrs
import click
import httpx
import msgspec
import uvicorn
from litestar import Litestar, Request, Response, post
from litestar.handlers import HTTPRouteHandler

from api.app import create_app
from api.comparison.answers.answer_shapes import ComparisonAnswer
from api.comparison.histories.simulation import HISTORIES
from api.database import open_database
from api.logs import write_logs
from api.preparing import seed_if_empty
from api.serving import listen
from api.settings import Settings
from api.upgrade import upgrade_database

COMPARED, BARE = "/v1/comparisons", "/bare"
AIM = 100
"""The ratio that five positions, three replacements and 20,000 histories are to stay within."""


@attrs.frozen
class Measured:
    """Median times of one call, in milliseconds, and their ratios."""

    compared_ms: float
    bare_ms: float
    within_ms: float

    @property
    def ratio(self) -> float:
        """How many times the time of the bare handler, in an application of its own, a comparison takes."""
        return self.compared_ms / self.bare_ms

    @property
    def ratio_within(self) -> float:
        """The same beside the bare handler within the service."""
        return self.compared_ms / self.within_ms


def stated_comparison(positions: int, replacements: int) -> dict[str, Any]:
    """Return a request with that many positions (1 to 20) and replacements (0 to 10)."""
    return {
        "currency": "USD",
        "keep_months": 48,
        "starts_per_month": 100,
        "discount_rate_per_year": "0.05",
        "labour": {"rate_per_hour": "60.00", "removal_and_refit_hours": 0.7, "strip_hours": 0.5},
        "incident_cost": "60.00",
        "consumables": "4.00",
        "tax": {"parts": "0.07", "labour": "0", "deposit": "0"},
        "positions": [
            {
                "position": "position_" + "abcdefghijklmnopqrst"[place],
                "failed": place == 0,
                "part_cost": f"{5 + 3 * place}.00",
                "bench_hours": 0.25,
                "life": {"shape": 1.5 + 0.4 * (place % 5), "scale_starts": 12000 + 3000 * (place % 7)},
                "age_starts": 4000 + 500 * place,
                "warranty_months": 12,
            }
            for place in range(positions)
        ],
        "replacements": [
            {
                "id": f"starter_{place}",
                "condition": "new",
                "price": f"{180 - 12 * place}.00",
                "core_deposit": "25.00",
                "refund_chance": 0.9,
                "warranty_months": 24,
                "life": {"shape": 2.2 - 0.1 * place, "scale_starts": 25000 - 1500 * place},
            }
            for place in range(replacements)
        ],
    }


def bare_handler(answer: ComparisonAnswer) -> HTTPRouteHandler:
    """Return a handler that decodes any body as JSON and encodes `answer`."""
    encoder = msgspec.json.Encoder()

    @post(BARE, status_code=200, media_type="application/json", include_in_schema=False)
    async def bare(request: Request[Any, Any, Any]) -> Response[bytes]:
        msgspec.json.decode(await request.body())
        return Response(encoder.encode(answer), media_type="application/json")

    return bare


@contextmanager
def application(*, seeded: bool = False) -> Iterator[Litestar]:
    """Make the service on a database of its own, empty or seeded, for the length of the block."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(data=Path(folder))
        database = open_database(None, settings.database_file)
        upgrade_database(database, settings.data / "backups", with_backup=False)
        if seeded:
            seed_if_empty(database)
        yield create_app(settings, database)
        database.close()


@contextmanager
def served(app: Litestar) -> Iterator[httpx.Client]:
    """Serve an application on a free loopback port, as `startwright serve` does; yield a client of it."""
    server = uvicorn.Server(
        uvicorn.Config(app, log_config=None, access_log=False, lifespan="off", server_header=False)
    )
    listening = listen("127.0.0.1", 0)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    try:
        with httpx.Client(base_url=f"http://127.0.0.1:{listening.getsockname()[1]}", timeout=30) as client:
            yield client
    finally:
        server.should_exit = True
        thread.join()
        listening.close()


def measure(positions: int, replacements: int, rounds: int) -> Measured:
    """Return the median times over `rounds` (1 or more) of a comparison and of the bare handlers."""
    body = json.dumps(stated_comparison(positions, replacements)).encode()
    compared, bare, within = [], [], []
    with application() as app, served(app) as client:
        answered = ask(client, COMPARED, body)
        handler = bare_handler(msgspec.json.decode(answered, type=ComparisonAnswer))
        app.register(handler)
        with served(Litestar([handler], logging_config=None, openapi_config=None)) as alone:
            if not ask(client, BARE, body) == ask(alone, BARE, body) == answered:
                raise RuntimeError("the handlers do not answer the same")
            for _ in range(rounds):
                compared.append(_milliseconds(client, COMPARED, body, 1))
                bare.append(_milliseconds(alone, BARE, body, 20))
                within.append(_milliseconds(client, BARE, body, 20))
    return Measured(*(statistics.median(times) for times in (compared, bare, within)))


def ask(client: httpx.Client, path: str, body: bytes) -> bytes:
    """Send a body to a path; return the answer's body, which must be a 200."""
    answer = client.post(path, content=body, headers={"content-type": "application/json"})
    answer.raise_for_status()
    return answer.content


def _milliseconds(client: httpx.Client, path: str, body: bytes, calls: int) -> float:
    began = time.perf_counter()
    for _ in range(calls):
        ask(client, path, body)
    return (time.perf_counter() - began) * 1000 / calls


@click.command()
@click.option("--positions", default=5, show_default=True, type=click.IntRange(1, 20))
@click.option("--replacements", default=3, show_default=True, type=click.IntRange(0, 10))
@click.option("--rounds", default=30, show_default=True, type=click.IntRange(1))
def main(positions: int, replacements: int, rounds: int) -> None:
    """Measure the ratio, and print it."""
    write_logs("error")
    found = measure(positions, replacements, rounds)
    click.echo(
        f"{positions} positions, {replacements} replacements, {HISTORIES} histories: "
        f"{found.compared_ms:.1f} ms; bare handler {found.bare_ms:.3f} ms; "
        f"ratio {found.ratio:.0f} (aim: {AIM} at most); "
        f"within the service {found.within_ms:.3f} ms; ratio {found.ratio_within:.0f}"
    )


if __name__ == "__main__":
    main()
