"""Serving: on this machine alone, unless asked for more."""

from __future__ import annotations

import ipaddress
import os
import socket
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from lift.errors import LiftError, check_number
from lift.model.curves import CurveSet
from lift.show.page.pairing import Pairing
from lift.show.page.security import LOOPBACK, Hosts
from lift.words import say

PORT = 8181
MOST_CONNECTIONS = 256
MOST_PROCESSES = 4
QUIET_SECONDS = 30


@dataclass(frozen=True)
class Place:
    """Where the page is served; port 0 takes a free one, certificate and key (PEM) are for TLS."""

    host: str = "127.0.0.1"
    port: float = PORT
    certificate: str | None = None
    key: str | None = None

    def __post_init__(self) -> None:
        port = check_number("page.serve.port", self.port, 0, 65535)
        if port != int(port):
            raise LiftError("page.serve.port_whole", port=port)
        object.__setattr__(self, "port", int(port))
        if (self.certificate is None) != (self.key is None):
            raise LiftError("page.serve.both")
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

    pairing = None if place.is_loopback else Pairing()
    with listen(place) as listener:
        port = listener.getsockname()[1]
        app = build_app(
            data,
            curves=curves,
            hosts=place.hosts,
            pairing=pairing,
            secure=place.certificate is not None,
            cookie=f"lift_{port}",
            processes=min(os.cpu_count() or 1, MOST_PROCESSES),
        )
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=False,
            limit_concurrency=MOST_CONNECTIONS,
            timeout_keep_alive=QUIET_SECONDS,
            timeout_graceful_shutdown=2,
            ssl_certfile=place.certificate,
            ssl_keyfile=place.key,
        )
        for line in _welcome(place, port, pairing):
            tell(line)
        with suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listener])


def _welcome(place: Place, port: int, pairing: Pairing | None) -> Iterator[str]:
    scheme = "https" if place.certificate else "http"
    shown = f"[{place.host}]" if ":" in place.host else place.host
    yield say("page.serve.page", url=f"{scheme}://{shown}:{port}/")
    if pairing is not None:
        yield say("page.serve.code", code=f"{pairing.code[:4]} {pairing.code[4:]}")
        if place.certificate is None:
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
