"""The application: one page, its interface, and the guard around both."""

from __future__ import annotations

from collections.abc import AsyncIterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from functools import cache, partial
from math import ceil
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.types import ASGIApp

from lift.errors import LiftError
from lift.model.curves import CurveSet, default_curves
from lift.model.mixtures import MixtureClasses
from lift.photo.chart import GAP
from lift.photo.editions import COLUMNS, ROWS
from lift.photo.measure import CAUTIONS
from lift.practice.cautions import ALWAYS
from lift.show.card.html import PAPERS
from lift.show.card.photo_guide import chart_colours, guide_drawing, guide_lines
from lift.show.lock.svg import lock_template
from lift.show.page.answer import to_json
from lift.show.page.api import largest, routes
from lift.show.page.classes import controls
from lift.show.page.desk import Desk, make_desk
from lift.show.page.devices import LASTS_DAYS, UNUSED_DAYS, Devices
from lift.show.page.fields import BY_NAME, GOAL_PARTS, ZONE_NUMBERS
from lift.show.page.measure import CONTENT
from lift.show.page.openapi import description
from lift.show.page.pairing import DIGITS, Pairing
from lift.show.page.previews import answer_preview
from lift.show.page.question import read_question
from lift.show.page.resource import error_reply, json_reply, refusal
from lift.show.page.security import LOOPBACK, Guard, Hosts
from lift.show.page.sessions import Sessions
from lift.show.page.shell import Shell, Versioned, address, later, modules
from lift.show.page.work import Processes
from lift.words import LAST_LEVEL, known, note, say, says, templates

HERE = Path(__file__).parent
FACTS = ("level", "underpigment", "warmth", "window", "tone", "side")
SCRIPTS = (
    *("page.js.", "level_short.", "mixture.", "part.", "first.", "wheel."),
    *(f"preview.{fact}.label" for fact in FACTS),
)
"""Codes that the page's scripts say; of names, the family is part of the code."""


@cache
def _templates() -> Environment:
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["say"] = say
    return made


def page_text(kinds: MixtureClasses, version: str) -> str:
    """Page with these classes of mixture; it holds nothing of any session, so it may be kept."""
    words = {code.removeprefix("page.js."): text for code, text in templates(*SCRIPTS).items()}
    page = _templates().get_template("page.html")
    return page.render(
        field=BY_NAME,
        zone_numbers=ZONE_NUMBERS,
        goal=GOAL_PARTS,
        controls=to_json(controls(kinds)).decode(),
        cautions=says(ALWAYS),
        words=to_json(words).decode(),
        lock=Markup(lock_template()),  # our own drawing
        version=version,
        static=partial(address, version=version),
        modules=modules(),
        later=later(),
        last_level=f"{LAST_LEVEL:g}",
        papers=[*PAPERS],
        photo=_photo(),
    )


def _photo() -> dict[str, Any]:
    """What the sheet shows that asks for a photograph."""
    return {
        "kinds": CONTENT.kinds,
        "most": CONTENT.most,
        "cautions": says(CAUTIONS),
        "drawing": guide_drawing(),
        "lines": guide_lines(),
        "colours": chart_colours(),
        "chart": f"{COLUMNS} {ROWS} {GAP:g}",
    }


class Pages:
    """Handlers of everything that is not the interface."""

    def __init__(self, desk: Desk, devices: Devices, pairing: Pairing | None) -> None:
        self._devices = devices
        self._pairing = pairing
        self._kinds = desk.curves.mixtures
        self._shell = Shell(partial(page_text, self._kinds))

    def routes(self) -> list[Route | Mount]:
        """Routes of the page and its parts."""
        return [
            Route("/", self.page),
            Route("/pair", self.pair_form, methods=["GET"]),
            Route("/pair", self.pair, methods=["POST"]),
            Route("/devices", self.devices, methods=["GET"]),
            Route("/devices", self.unpair, methods=["POST"]),
            Route("/sw.js", self.worker),
            Route("/shell.json", self.shell),
            Route("/healthz", self.health),
            Route("/openapi.json", self.description),
            Mount("/static", Versioned(self._shell)),
        ]

    async def page(self, request: Request) -> Response:
        """Serve the page."""
        return HTMLResponse(self._shell.page)

    async def worker(self, request: Request) -> Response:
        """Serve the worker that keeps the page when the connection is lost."""
        return Response(self._shell.worker, media_type="text/javascript")

    async def shell(self, request: Request) -> Response:
        """List what the worker keeps."""
        shell = self._shell
        return json_reply(to_json({"version": shell.version, "files": shell.addresses}))

    async def health(self, request: Request) -> Response:
        """Tell that the server runs."""
        return json_reply(b'{"status":"ok"}')

    async def description(self, request: Request) -> Response:
        """Describe the interface."""
        return json_reply(to_json(description(self._kinds)))

    async def pair_form(self, request: Request) -> Response:
        """Ask for the pairing code."""
        return self._pair_page(request, "")

    async def pair(self, request: Request) -> Response:
        """Take the pairing code."""
        if self._pairing is None:
            return RedirectResponse("/", 303)
        address = request.client.host if request.client else ""
        wait = self._pairing.wait_seconds(address)
        if self._pairing.accepts(await _typed(request, "code"), address):
            agent = request.headers.get("user-agent", "")
            request.state.token = self._devices.pair(agent, address)
            return RedirectResponse("/", 303)
        if wait > 0.0:
            return self._pair_page(request, say("page.pair.wait", seconds=ceil(wait)), 429)
        if self._pairing.code is None:
            return self._pair_page(request, say("page.pair.over"), 403)
        return self._pair_page(request, say("page.pair.wrong"), 403)

    async def devices(self, request: Request) -> Response:
        """List paired devices."""
        page = _templates().get_template("devices.html")
        return HTMLResponse(
            page.render(
                devices=self._devices.paired(),
                own=self._devices.number_of(request.state.token),
                day=_day,
                lasts_days=LASTS_DAYS,
                unused_days=UNUSED_DAYS,
                alone=self._pairing is None,
                plain=request.url.scheme == "http",
            )
        )

    async def unpair(self, request: Request) -> Response:
        """End the pairing of a device."""
        self._devices.unpair(await _typed(request, "number"))
        return RedirectResponse("/devices", 303)

    @staticmethod
    def _pair_page(request: Request, message: str, status: int = 200) -> Response:
        page = _templates().get_template("pair.html")
        plain = request.url.scheme == "http"
        return HTMLResponse(page.render(message=message, digits=DIGITS, plain=plain), status)


async def _typed(request: Request, name: str) -> str:
    """One value of a form."""
    form = (await request.body()).decode("utf-8", "replace")
    return parse_qs(form, max_num_fields=9).get(name, [""])[0]


def _day(seconds: float) -> str:
    """Day of a time since the epoch, ISO 8601."""
    return datetime.fromtimestamp(seconds, UTC).date().isoformat()


def build_app(
    data: Path,
    *,
    curves: CurveSet | None = None,
    hosts: Hosts = LOOPBACK,
    pairing: Pairing | None = None,
    secure: bool = False,
    cookie: str = "lift",
    processes: int = 0,
) -> ASGIApp:
    """Put the application together, an ASGI one.

    Parameters
    ----------
    data : pathlib.Path
        Folder for what the sessions keep.
    pairing : Pairing, optional
        Needed when other devices can reach the page.
    secure : bool
        Whether it is served over TLS.
    processes : int
        Processes that compute previews, with one more for plans; 0: threads of this one.
    """
    sessions = Sessions(data)
    devices = Devices(sessions)
    quick: Executor = Processes(processes) if processes else ThreadPoolExecutor(1, "answers")
    slow: Executor = Processes(1) if processes else ThreadPoolExecutor(1, "plans")
    desk = make_desk(curves or default_curves(), sessions, quick, slow)

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        # The first drag must not wait for processes that load their libraries.
        for _ in range(processes):
            quick.submit(answer_preview, read_question({}, desk.curves), desk.packed)
        yield
        for pool in (quick, slow):
            pool.shutdown(wait=True, cancel_futures=True)

    inner = Starlette(
        routes=[
            *Pages(desk, devices, pairing).routes(),
            *routes(desk),
        ],
        exception_handlers={
            HTTPException: _http_error,
            LiftError: _refused,
            Exception: _own_fault,
        },
        lifespan=lifespan,
    )
    small = GZipMiddleware(inner, compresslevel=5)
    guarded = None if pairing is None else devices
    return Guard(small, sessions, hosts, guarded, cookie, secure, largest)


async def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    code = f"page.api.{error.status_code}"
    reply = error_reply(error.status_code, {"": note(code) if known(code) else error.detail})
    reply.headers.update(error.headers or {})
    return reply


async def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, LiftError)
    return refusal(error)


async def _own_fault(request: Request, error: Exception) -> Response:
    return error_reply(500, {"": note("page.fault")})
