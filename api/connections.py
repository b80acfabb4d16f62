"""Connections: how long a request may take to come, and what is answered to what is none.

The parser is uvicorn's own; what it does not do is added here. A caller who sends nothing, or a byte now and
then, would else hold a connection for as long as he likes.
"""

import asyncio
from http import HTTPStatus
from typing import Final, cast

import h11
import msgspec
import structlog
from uvicorn.protocols.http.h11_impl import H11Protocol

from api.wire.envelope import SECURITY_HEADERS

PATIENCE_SECONDS: Final = 30.0
"""What a request may take to come whole, beside what its size takes (our judgement)."""
LEAST_BYTES_A_SECOND: Final = 10_000
"""Slowest line that is waited for (our judgement)."""

_log = structlog.get_logger("startwright.connection")
_COMING: Final = (h11.IDLE, h11.SEND_BODY)


class Connection(H11Protocol):
    """One connection: a request that has not come whole in its time is answered 408, and no more is heard.

    Sources: RFC 9110 section 15.5.9 (408), RFC 9457 section 4.2.1 (a problem that its status says whole).
    """

    _timer: asyncio.TimerHandle | None = None
    _waited_since = 0.0
    _received = 0

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Wait for the first request."""
        super().connection_made(cast("asyncio.Transport", transport))
        self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no more."""
        self._wait_no_more()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Go on waiting while a request has come in part."""
        self._received += len(data)
        super().data_received(data)
        if self.conn.their_state not in _COMING:
            self._wait_no_more()
        elif self._timer is None:
            self._wait()

    def send_400_response(self, msg: str) -> None:
        """Answer what is no HTTP with a problem, as everything else is refused."""
        self._refuse(HTTPStatus.BAD_REQUEST, msg)

    def _wait(self) -> None:
        self._waited_since = self.loop.time()
        self._timer = self.loop.call_later(PATIENCE_SECONDS, self._judge)

    def _wait_no_more(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
        self._timer, self._received = None, 0

    def _judge(self) -> None:
        """End what comes too slowly; what is not read since the service is busy is not the caller's fault."""
        now = self.loop.time()
        until = self._waited_since + PATIENCE_SECONDS + self._received / LEAST_BYTES_A_SECOND
        if self.flow.read_paused or now < until:
            again = PATIENCE_SECONDS if self.flow.read_paused else until - now
            self._timer = self.loop.call_later(again, self._judge)
            return
        self._wait_no_more()
        if self._received_nothing():
            self.transport.close()
        else:
            self._refuse(HTTPStatus.REQUEST_TIMEOUT, "The request did not come whole in its time.")

    def _received_nothing(self) -> bool:
        return self.conn.their_state is h11.IDLE and not self.conn.trailing_data[0]

    def _refuse(self, status: HTTPStatus, why: str) -> None:
        """Answer with a problem where no answer has begun, and end the connection."""
        self._wait_no_more()
        _log.info("turned_away", status=status.value, reason=why)
        if self.cycle is not None:
            self.cycle.disconnected = True  # whoever works at it need not answer any more
        if self.conn.our_state in (h11.IDLE, h11.SEND_RESPONSE):
            problem = {"type": "about:blank", "title": status.phrase, "status": status.value, "detail": why}
            body = msgspec.json.encode(problem)
            fields = [
                ("content-type", "application/problem+json"),
                ("content-length", str(len(body))),
                ("connection", "close"),
                *SECURITY_HEADERS.items(),
            ]
            events = (
                h11.Response(status_code=status, headers=fields, reason=status.phrase.encode()),
                h11.Data(data=body),
                h11.EndOfMessage(),
            )
            self.transport.write(b"".join(self.conn.send(event) or b"" for event in events))
        self.transport.close()
