"""Interface of the plan: scenarios, plans, the card."""

from __future__ import annotations

import hashlib
from functools import partial

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from lift.errors import LiftError, check_choice
from lift.show.page.answers import Answer, to_json
from lift.show.page.desk import Desk
from lift.show.page.plans import answer_plan
from lift.show.page.reply import HttpError, answering, json_reply, read_object
from lift.show.page.scenarios import (
    all_scenarios,
    delete_scenario,
    keep_scenario,
    read_scenario,
)
from lift.show.page.sessions import check_name

CARD_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
"""The card is one file with its style inside, and has no script."""

PAPERS = ("A4", "Letter")


class PlanApi:
    """Handlers of scenarios, plans and cards."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def routes(self) -> list[Route]:
        """Routes of this part."""
        one = "/api/scenarios/{name}"
        return [
            Route("/api/scenarios", answering(self.names)),
            Route(one, answering(self.read), methods=["GET"]),
            Route(one, answering(self.keep), methods=["PUT"]),
            Route(one, answering(self.delete), methods=["DELETE"]),
            Route("/api/plan", answering(self.plan), methods=["POST"]),
            Route("/api/shown/plan", answering(self.plan_shown), methods=["POST"]),
            Route("/card/{name}", answering(self.card)),
        ]

    async def names(self, request: Request) -> Response:
        """List scenarios."""
        rows = await run_in_threadpool(all_scenarios, self._desk.sessions, request.state.token)
        return json_reply(to_json({"scenarios": rows}))

    async def read(self, request: Request) -> Response:
        """Read one scenario."""
        name = request.path_params["name"]
        return json_reply(to_json({"name": name, "text": await self._text(request, name)}))

    async def keep(self, request: Request) -> Response:
        """Keep one scenario."""
        body = await read_object(request, {"text": str}, ("text",))
        name = request.path_params["name"]
        check_name(name)
        try:
            await run_in_threadpool(
                keep_scenario, self._desk.sessions, request.state.token, name, body["text"]
            )
        except UnicodeEncodeError:
            raise HttpError(422, "the text is not valid Unicode", "text") from None
        return json_reply(to_json({"name": name, "text": body["text"]}))

    async def delete(self, request: Request) -> Response:
        """Forget one scenario."""
        name = request.path_params["name"]
        try:
            await run_in_threadpool(delete_scenario, self._desk.sessions, request.state.token, name)
        except LiftError as error:
            raise HttpError(404, str(error)) from None
        return json_reply(to_json({"name": name}))

    async def plan(self, request: Request) -> Response:
        """Plan a service: the JSON form alone."""
        return json_reply((await self._plan(request)).plain)

    async def plan_shown(self, request: Request) -> Response:
        """Plan a service: with words, screen colours and the clock."""
        return json_reply((await self._plan(request)).shown)

    async def card(self, request: Request) -> Response:
        """Print a kept scenario's card."""
        paper = request.query_params.get("paper", PAPERS[0])
        check_choice("paper", paper, PAPERS)
        text = await self._text(request, request.path_params["name"])
        html = await run_in_threadpool(self._card, text, paper)
        return HTMLResponse(html, headers={"content-security-policy": CARD_POLICY})

    def _card(self, text: str, paper: str) -> str:
        from lift.practice.service.plan import plan
        from lift.practice.service.scenario_file import parse_scenario
        from lift.show.card.html import card_html

        return card_html(plan(parse_scenario(text), self._desk.curves), paper)

    async def _plan(self, request: Request) -> Answer:
        body = await read_object(request, {"text": str}, ("text",))
        text = body["text"]
        digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
        job = partial(answer_plan, text, self._desk.packed)
        try:
            return await self._desk.slow.get(("plan", digest), job)
        except LiftError as error:
            raise HttpError(422, str(error), "text") from None

    async def _text(self, request: Request, name: str) -> str:
        try:
            text = await run_in_threadpool(
                read_scenario, self._desk.sessions, request.state.token, name
            )
        except LiftError as error:
            raise HttpError(404, str(error)) from None
        if text is None:
            raise HttpError(404, f"there is no scenario {name[:40]!r}")
        return text
