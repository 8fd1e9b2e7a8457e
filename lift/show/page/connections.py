"""Connections: slow and idle ones are closed, and a crowd from one address keeps nobody out."""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Iterable
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

MOST = 256
HEAD_SECONDS = 5.0
IDLE_SECONDS = 8
BODY_SECONDS = 5.0
SLOWEST_BYTES = 4096
"""A body may take `BODY_SECONDS` and a second more for each so many bytes of it that came."""

SEND_SECONDS = 10.0
HANDSHAKE_SECONDS = 5.0
LOOK_SECONDS = 1.0


class Loop(asyncio.SelectorEventLoop):
    """An event loop whose servers do not wait a minute for a TLS handshake."""

    async def create_server(self, *args: Any, ssl: Any = None, **kwargs: Any) -> Any:
        """Create a server."""
        if ssl is not None:
            kwargs.setdefault("ssl_handshake_timeout", HANDSHAKE_SECONDS)
        return await super().create_server(*args, ssl=ssl, **kwargs)


class Connection(H11Protocol):
    """One connection, looked at every second.

    It has some seconds to say what it asks, a body and an answer must move on, and what waits for
    nothing is closed. Whoever comes is let in: past `MOST` the address that has the most
    connections gives up one, which is the one that has waited longest without asking anything.
    """

    _heard: float | None = None
    _bytes = 0
    _stuck: float | None = None
    _look: asyncio.TimerHandle | None = None

    @property
    def _address(self) -> str:
        return self.client[0] if self.client else ""

    @property
    def _is_asked(self) -> bool:
        """Whether it has asked something and awaits an answer."""
        return self.cycle is not None and not self.cycle.response_complete

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection in, and give up another where there are too many."""
        super().connection_made(transport)
        self._heard = self.loop.time()
        self._look = self.loop.call_later(LOOK_SECONDS, self._check)
        if len(self.connections) > MOST:
            others: Any = self.connections - {self}
            _one_to_give_up(others).give_up()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget a connection."""
        if self._look is not None:
            self._look.cancel()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Take what comes in."""
        if self._heard is None:
            self._heard, self._bytes = self.loop.time(), 0
        self._bytes += len(data)
        super().data_received(data)

    def on_response_complete(self) -> None:
        """Begin to wait for the next question."""
        self._heard, self._bytes = None, 0
        super().on_response_complete()

    def pause_writing(self) -> None:
        """Note since when nobody takes what is sent."""
        self._stuck = self.loop.time()
        super().pause_writing()

    def resume_writing(self) -> None:
        """Note that it is taken again."""
        self._stuck = None
        super().resume_writing()

    def give_up(self) -> None:
        """Close at once, whatever is still to be sent."""
        self.connections.discard(self)
        self.transport.abort()

    def _check(self) -> None:
        if self.transport.is_closing() and self._stuck is None:
            # What is left to be sent is not waited for without end.
            self._stuck = self.loop.time()
        if self._heard is None and self._is_asked:
            # Asked right behind another question, with nothing heard since.
            self._heard = self.loop.time()
        if self._is_late():
            self.give_up()
        else:
            self._look = self.loop.call_later(LOOK_SECONDS, self._check)

    def _is_late(self) -> bool:
        now = self.loop.time()
        if self._stuck is not None and now - self._stuck > SEND_SECONDS:
            return True
        if self._heard is None:
            return False  # idle: closed by the server's own timer
        if not self._is_asked:
            return now - self._heard > HEAD_SECONDS
        allowed = BODY_SECONDS + self._bytes / SLOWEST_BYTES
        return self.cycle.more_body and now - self._heard > allowed


def _one_to_give_up(connections: Iterable[Connection]) -> Connection:
    connections = [*connections]
    of_address = Counter(each._address for each in connections)
    return max(
        connections,
        key=lambda c: (of_address[c._address], not c._is_asked, -(c._heard or 0.0)),
    )
