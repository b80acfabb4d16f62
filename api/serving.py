"""Serve the application on an address until told to stop."""

import errno
import gc
import os
import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from ipaddress import ip_address
from tempfile import TemporaryDirectory
from types import FrameType
from typing import Final

import attrs
import uvicorn
from litestar import Litestar
from threadpoolctl import threadpool_limits
from uvicorn.supervisors import Multiprocess

from api.app import create_app
from api.connections import Connection
from api.errors import CommandRefused
from api.logs import write_logs
from api.settings import Settings

HEADERS_LIMIT_BYTES: Final = 65_536
"""Largest request line with fields (our judgement)."""
_DEAF_SECONDS: Final = 60
"""A worker that says nothing for so long is replaced: long ones start or work meanwhile (our judgement)."""


@attrs.frozen
class AddressNotUsable(CommandRefused):
    """The service cannot listen where it was told to."""

    host: str
    port: int
    reason: str

    def explain(self) -> str:
        """Name the address, what is wrong, and what to try."""
        place = f"{self.host} port {self.port}"
        return f"Cannot listen on {place}: {self.reason}. Choose another with --host and --port."


@attrs.frozen
class OpenWritesOffLoopback(CommandRefused):
    """Anybody who reaches the address could change the catalogue."""

    host: str

    def explain(self) -> str:
        """Name the address and the two ways out."""
        return (
            f"{self.host} can be reached from other machines, and STARTWRIGHT_OPEN_WRITES=yes would let them "
            "change the catalogue without a key. Serve on loopback, or leave writes to holders of keys."
        )


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens; port 0 takes a free one. Raises `AddressNotUsable`."""
    try:
        family, _, _, _, place = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        listening = socket.create_server(place[:2], family=family, backlog=2048)
        # Connections inherit it. The event loop sets it only on sockets that it made itself; without it the
        # body of every answer waits some 40 ms for the caller's delayed acknowledgement of the headers.
        listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        return listening
    except UnicodeError:
        raise AddressNotUsable(host, port, "no host has such a name") from None
    except OSError as error:
        reason = "it is in use" if error.errno == errno.EADDRINUSE else (error.strerror or str(error))
        raise AddressNotUsable(host, port, reason) from None


def is_loopback(host: str) -> bool:
    """Tell whether a host can be reached from this machine alone."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def address_of(listening: socket.socket, host: str) -> str:
    """Return the address to open in a browser."""
    port = listening.getsockname()[1]
    name = "localhost" if host in ("0.0.0.0", "::") else host  # noqa: S104  # compared, not bound
    return f"http://[{name}]:{port}/" if ":" in name else f"http://{name}:{port}/"


@contextmanager
def ended_by_signals() -> Iterator[None]:
    """Let SIGINT and SIGTERM end the block as if it were done, whatever stage it has reached.

    While the database is prepared they unwind the stack, so that a migration or a load is undone whole.
    While requests are served the server takes them, ends what is under way and then raises them again.
    """

    def end(number: int, frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, end)
    try:
        yield
    except KeyboardInterrupt:
        pass  # ending is what was asked for
    finally:
        signal.signal(signal.SIGTERM, before)


def serve(app: Litestar, listening: socket.socket, say: Callable[[], None]) -> None:
    """Serve until interrupted or terminated; `say` is called once requests are answered."""

    class Announcing(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            if self.started:
                say()

    compute_in_one_thread()
    keep_for_good()
    Announcing(served_as(app)).run(sockets=[listening])


def serve_with_workers(
    settings: Settings, count: int, listening: socket.socket, say: Callable[[], None]
) -> None:
    """Serve by `count` processes that share the socket; one that dies is replaced.

    Each opens the database for itself; what they have to agree on they find in it and in the data folder.
    `say` is called once all of them answer. What they count for `/metrics` is added up.
    """

    class Announcing(Multiprocess):
        told = False

        def keep_subprocess_alive(self) -> None:
            super().keep_subprocess_alive()
            if not self.told and all(process.is_ready() for process in self.processes):
                self.told = True
                say()

    with TemporaryDirectory(prefix="startwright-") as figures:
        os.environ["PROMETHEUS_MULTIPROC_DIR"] = figures  # read by the workers' own prometheus_client
        config = served_as(partial(app_of_worker, settings), workers=count)
        Announcing(config, sockets=[listening]).run()


def app_of_worker(settings: Settings) -> Litestar:
    """Build the application of a worker, which starts with nothing but its settings."""
    write_logs(settings.log_level)
    compute_in_one_thread()
    app = create_app(settings)
    keep_for_good()
    return app


def compute_in_one_thread() -> None:
    """Keep matrix products to the thread that asks for them.

    They are small here; helping threads would wait for the next one by spinning, and take the processor
    from other requests.
    """
    threadpool_limits(limits=1, user_api="blas")


def keep_for_good() -> None:
    """Let the collector of garbage look no more through what has been built so far: it stays until the end.

    Going through all of it takes a tenth of a second, in which no request is answered. It is not gone through
    now either, which would delay the start.
    """
    gc.freeze()


def served_as(app: Litestar | Callable[[], Litestar], workers: int = 1) -> uvicorn.Config:
    """Return how an application is served: the application itself, or what makes that of each worker.

    The parser is named since it decides what is refused before anything of ours is asked: this one takes
    no more than `HEADERS_LIMIT_BYTES` of request line and fields, one `Host`, one `Content-Length`, and
    nothing that comes too slowly (`api/connections.py`). Headers
    that proxies add are not believed, so that nobody chooses the address that he is counted under.
    """
    return uvicorn.Config(
        app,
        factory=workers > 1,
        workers=workers,
        timeout_worker_healthcheck=_DEAF_SECONDS,
        http=Connection,
        h11_max_incomplete_event_size=HEADERS_LIMIT_BYTES,
        ws="none",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=10,
    )
