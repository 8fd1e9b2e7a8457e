"""Security: who is answered, what a body may weigh, and what the browser is told to refuse."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from lift.show.page.answer import policy
from lift.show.page.devices import LASTS_DAYS, Devices
from lift.show.page.question import RefusedError
from lift.show.page.resource import error_reply
from lift.show.page.sessions import Sessions
from lift.show.page.turns import BusyError, Turns
from lift.words import note

POLICY = policy(
    default_src="'none'",
    script_src="'self'",
    style_src="'self'",
    img_src="'self'",
    connect_src="'self'",
    manifest_src="'self'",
    worker_src="'self'",
    form_action="'self'",
    base_uri="'none'",
    frame_ancestors="'none'",
    require_trusted_types_for="'script'",
    trusted_types="lift",
)

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    # With no-referrer a browser would hide where its own forms come from.
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), screen-wake-lock=(self)",
}

OF_A_PART = {
    name: HEADERS[name] for name in ("x-content-type-options", "cross-origin-resource-policy")
}
"""Of a script or a style: what it may do is decided by the page that it is part of."""

SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
COOKIE_SECONDS = LASTS_DAYS * 86_400
MAX_QUERY = 4096
MAX_BYTES = 65_536
"""Of one request's body, but for what says otherwise."""

Largest = Callable[[str, str], int | None]
"""How many bytes a body may have, by method and path; None: `MAX_BYTES`."""

PAIRED_AT_ONCE, STRANGERS_AT_ONCE = 8, 2
"""Requests answered at once, of one paired device and of one address without any."""

PAGES = ("/", "/devices")
"""What sends a device that is not paired to where it can be."""

OPEN_PATHS = ("/pair", "/healthz")
"""What is answered before a device is paired."""


def _refuse(status: int, code: str, **values: Any) -> Response:
    return error_reply(status, {"": note(code, **values)})


@dataclass(frozen=True)
class Hosts:
    """Names under which the page may be asked for.

    A foreign name that is made to point at this machine must not be answered, or the site behind
    that name could read the page. An address written out is safe: nobody can make it point
    elsewhere, and with `any_address` each is answered.
    """

    names: tuple[str, ...]
    any_address: bool = False

    def allows(self, host: str) -> bool:
        """Whether a Host header may be answered."""
        name = _without_port(host)
        if name in self.names:
            return True
        return self.any_address and _is_address(name)


LOOPBACK = Hosts(("127.0.0.1", "localhost", "::1"))


def _without_port(host: str) -> str:
    host = host.strip().lower()
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.partition(":")[0]


def _is_address(name: str) -> bool:
    with suppress(ValueError):
        return bool(ipaddress.ip_address(name))
    return False


class Guard:
    """Wraps the application: refuses first, then marks the session and the headers.

    `devices` is None when only this machine can reach the page, `secure` says whether it is served
    over TLS, `cookie` is the name of the session's cookie, `largest` what a body may weigh. Paired
    devices take turns by themselves, everybody else by address.
    """

    def __init__(
        self,
        app: ASGIApp,
        sessions: Sessions,
        hosts: Hosts,
        devices: Devices | None,
        cookie: str,
        secure: bool = False,
        largest: Largest = lambda method, path: None,
    ) -> None:
        self._app, self._sessions, self._hosts = app, sessions, hosts
        self._devices, self._cookie, self._secure = devices, cookie, secure
        self._turns, self._strangers = Turns(PAIRED_AT_ONCE), Turns(STRANGERS_AT_ONCE)
        self._largest = largest

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        held = self._held(headers)
        state = scope.setdefault("state", {})
        token = state["token"] = held or self._sessions.new_token()
        paired = held is not None and self._devices is not None and self._devices.is_paired(held)

        is_part = scope["path"].startswith("/static/") and scope["path"].endswith((".js", ".css"))

        async def marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                out = MutableHeaders(scope=message)
                for name, value in (OF_A_PART if is_part else HEADERS).items():
                    out.setdefault(name, value)
                fresh = "no-cache" if scope["path"].startswith("/static/") else "no-store"
                out.setdefault("cache-control", fresh)
                # Pairing gives another, so that none that was planted before is ever paired.
                if state["token"] != held and not scope["path"].startswith("/static/"):
                    out.append("set-cookie", self._set_cookie(state["token"]))
            await send(message)

        most = self._largest(scope["method"], scope["path"]) or MAX_BYTES
        refusal = self._refusal(scope, headers, paired, most)
        if refusal is not None:
            await refusal(scope, receive, marked)
            return
        bounded = _Bounded(receive, most)
        if self._devices is None:
            await self._app(scope, bounded, marked)
        else:
            try:
                turn = self._turns.of(token) if paired else self._strangers.of(_address(scope))
                async with turn:
                    await self._app(scope, bounded, marked)
            except BusyError as error:
                await error_reply(503, {"": error.note})(scope, receive, marked)

    def _refusal(self, scope: Scope, headers: Headers, paired: bool, most: int) -> Response | None:
        if not self._hosts.allows(headers.get("host", "")):
            return _refuse(421, "page.host", host=headers.get("host", "")[:80])
        if not self._same_origin(scope, headers):
            return _refuse(403, "page.other_site")
        if len(scope["query_string"]) > MAX_QUERY:
            return _refuse(414, "page.query_long", longest=MAX_QUERY)
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > most:
            return _refuse(413, "page.body_large", largest=most)
        if not (paired or self._is_open(scope["path"])):
            if scope["path"] in PAGES and scope["method"] in SAFE_METHODS:
                return RedirectResponse("/pair", 303)
            return _refuse(401, "page.not_paired")
        return None

    def _same_origin(self, scope: Scope, headers: Headers) -> bool:
        """Whether a request comes from the page itself, or is a visit to its front door."""
        origin = headers.get("origin")
        if origin is not None:
            return origin.lower() == f"{scope['scheme']}://{headers.get('host', '')}".lower()
        site = headers.get("sec-fetch-site")
        if site in ("same-origin", "none"):
            return True
        if site is not None:
            # A link on another site may open the page, and no more.
            return scope["path"] == "/" and headers.get("sec-fetch-mode") == "navigate"
        # No browser that knows neither header can be trusted to change anything.
        return scope["method"] in SAFE_METHODS

    def _is_open(self, path: str) -> bool:
        return self._devices is None or path in OPEN_PATHS or path.startswith("/static/")

    def _held(self, headers: Headers) -> str | None:
        """Token of ours that a browser sends, if it does."""
        sent = _cookies(headers.getlist("cookie"), self._cookie)
        return next(filter(self._sessions.is_genuine, sent), None)

    def _set_cookie(self, token: str) -> str:
        secure = "; Secure" if self._secure else ""
        return (
            f"{self._cookie}={token}; Path=/; Max-Age={COOKIE_SECONDS}; HttpOnly; "
            f"SameSite=Strict{secure}"
        )


def _address(scope: Scope) -> str:
    return scope["client"][0] if scope.get("client") else ""


def _cookies(headers: Iterable[str], name: str) -> Iterable[str]:
    for header in headers:
        try:
            jar = SimpleCookie(header)
        except CookieError:
            continue
        if name in jar:
            yield jar[name].value


class _Bounded:
    """Counts a body as it comes in, for one that does not say its length."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive, self._most = receive, most
        self._seen = 0

    async def __call__(self) -> Message:
        message = await self._receive()
        self._seen += len(message.get("body", b""))
        if self._seen > self._most:
            raise RefusedError({"": note("page.body_large", largest=self._most)}, 413)
        return message
