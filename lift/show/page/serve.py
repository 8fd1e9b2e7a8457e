"""Serving: on this machine alone, unless asked for more."""

from __future__ import annotations

import asyncio
import ipaddress
import os
import socket
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from lift.errors import LiftError, check_number
from lift.model.curves import CurveSet
from lift.show.page.certificate import Certificate, own_certificate, reached_at
from lift.show.page.pairing import CODE_MINUTES, Pairing, grouped
from lift.show.page.security import LOOPBACK, Hosts
from lift.words import say

PORT = 8181
MOST_PROCESSES = 4


@dataclass(frozen=True)
class Place:
    """Where the page is served; port 0 takes a free one.

    Certificate and key (PEM) are for TLS; with `tls` they are made on the spot.
    """

    host: str = "127.0.0.1"
    port: float = PORT
    certificate: str | None = None
    key: str | None = None
    tls: bool = False

    def __post_init__(self) -> None:
        port = check_number("page.serve.port", self.port, 0, 65535)
        if port != int(port):
            raise LiftError("page.serve.port_whole", port=port)
        object.__setattr__(self, "port", int(port))
        if (self.certificate is None) != (self.key is None):
            raise LiftError("page.serve.both")
        if self.tls and self.certificate is not None:
            raise LiftError("page.serve.own_or_given")
        for path in (self.certificate, self.key):
            if path is not None and not os.path.isfile(path):
                raise LiftError("page.serve.no_file", path=path)

    @property
    def is_loopback(self) -> bool:
        """Whether only this machine can reach it."""
        if self.host == "localhost":
            return True
        try:
            return ipaddress.ip_address(self.host).is_loopback
        except ValueError:
            return False

    @property
    def shown(self) -> str:
        """Host as it is typed in a browser: of all addresses, the one that others reach."""
        host = self.host if self.host not in ("", "0.0.0.0", "::") else reached_at() or self.host
        return f"[{host}]" if ":" in host else host

    @property
    def hosts(self) -> Hosts:
        """Names under which it answers."""
        if self.is_loopback:
            return LOOPBACK
        names = (*LOOPBACK.names, self.host.lower(), socket.gethostname().lower())
        return Hosts(names, any_address=True)


def serve(
    place: Place,
    data: Path,
    curves: CurveSet | None = None,
    tell: Callable[[str], None] = print,
) -> None:
    """Serve the page until stopped; `tell` takes each line of what the user must know.

    Raises
    ------
    LiftError
        When the port is taken or the host cannot be listened on.
    """
    import uvicorn

    from lift.show.page.app import build_app
    from lift.show.page.connections import IDLE_SECONDS, Connection, Loop

    pairing = None if place.is_loopback else Pairing(data)
    with listen(place) as listener:
        port = listener.getsockname()[1]
        own = own_certificate(data, place.host) if place.tls else None
        certificate, key = (own.certificate, own.key) if own else (place.certificate, place.key)
        app = build_app(
            data,
            curves=curves,
            hosts=place.hosts,
            pairing=pairing,
            secure=certificate is not None,
            cookie=f"lift_{port}",
            processes=min(os.cpu_count() or 1, MOST_PROCESSES),
        )
        config = uvicorn.Config(
            app,
            http=Connection,
            ws="none",
            log_level="error",
            access_log=False,
            server_header=False,
            proxy_headers=False,
            timeout_keep_alive=IDLE_SECONDS,
            timeout_graceful_shutdown=2,
            ssl_certfile=certificate,
            ssl_keyfile=key,
        )
        for line in _welcome(place, port, certificate is not None, own, pairing):
            tell(line)
        with suppress(KeyboardInterrupt), asyncio.Runner(loop_factory=Loop) as runner:
            runner.run(uvicorn.Server(config).serve(sockets=[listener]))


def _welcome(
    place: Place, port: int, encrypted: bool, own: Certificate | None, pairing: Pairing | None
) -> Iterator[str]:
    scheme = "https" if encrypted else "http"
    yield say("page.serve.page", url=f"{scheme}://{place.shown}:{port}/")
    if own is not None:
        yield say("page.serve.own")
        yield say("page.serve.fingerprint", fingerprint=own.fingerprint)
    if pairing is not None:
        yield say("page.serve.code", code=grouped(pairing.renew()), minutes=CODE_MINUTES)
        if not encrypted:
            yield say("page.serve.open")
    yield say("page.serve.estimates")


def listen(place: Place) -> socket.socket:
    """Open the socket that the page is served on; refused where nothing can be listened to."""
    try:
        family, kind, _, _, address = socket.getaddrinfo(
            place.host, int(place.port), type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        listener = socket.socket(family, kind)
    except OSError as error:
        raise _cannot(place, error) from None
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        # Connections take this over from the listener. Else the end of an answer waits for the
        # browser's late acknowledgement of its head: 40 ms at each move of a slider.
        listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        listener.bind(address)
        listener.listen(128)
    except OSError as error:
        listener.close()
        raise _cannot(place, error) from None
    return listener


def _cannot(place: Place, error: OSError) -> LiftError:
    reason = error.strerror or str(error)
    return LiftError("page.serve.cannot", host=place.host, port=place.port, reason=reason)
