"""The interface: what the page asks, and what any other program on this machine may ask."""

from __future__ import annotations

from functools import partial

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lift.show.page.answers import Answer, answer_preview, answer_stages, to_json
from lift.show.page.desk import Desk
from lift.show.page.openapi import description
from lift.show.page.question import RefusedError, read_question
from lift.show.page.reply import answering, json_reply, read_object
from lift.show.page.strands import strand_for

STATE = "state.json"


class Api:
    """Handlers of previews, stages and what the page wants to find again."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def routes(self) -> list[Route]:
        """Routes under ``/api``, and the description of them."""
        return [
            Route("/openapi.json", self.openapi),
            Route("/api/preview", answering(self.preview)),
            Route("/api/shown/preview", answering(self.preview_shown)),
            Route("/api/stages", answering(self.stages)),
            Route("/api/shown/stages", answering(self.stages_shown)),
            Route("/api/state", answering(self.state), methods=["GET"]),
            Route("/api/state", answering(self.keep_state), methods=["PUT"]),
        ]

    async def openapi(self, request: Request) -> Response:
        """Describe the interface."""
        return json_reply(to_json(description()))

    async def preview(self, request: Request) -> Response:
        """Preview one strand: the JSON form alone."""
        return json_reply((await self._preview(request))[0].plain)

    async def preview_shown(self, request: Request) -> Response:
        """Preview one strand: the JSON form with words and screen colours."""
        answer, waited = await self._preview(request)
        reply = json_reply(answer.shown)
        # Tells the page to ask less often when others are asking, too.
        reply.headers["Server-Timing"] = f"wait;dur={1000.0 * waited:.1f}"
        return reply

    async def _preview(self, request: Request) -> tuple[Answer, float]:
        typed = _query(request)
        question = read_question(typed, self._desk.curves)
        strand = None
        if typed.get("strand") == "true":
            folder = self._desk.sessions.folder_of(request.state.token)
            strand = await run_in_threadpool(strand_for, question.hair, folder, self._desk.curves)
        job = partial(answer_preview, question.typed, strand, self._desk.packed)
        return await self._desk.quick.get_with_wait(("preview", question.key, strand), job)

    async def stages(self, request: Request) -> Response:
        """Table of stages: the JSON form alone."""
        return json_reply((await self._stages()).plain)

    async def stages_shown(self, request: Request) -> Response:
        """Table of stages with screen colours."""
        return json_reply((await self._stages()).shown)

    async def _stages(self) -> Answer:
        return await self._desk.quick.get(("stages",), partial(answer_stages, self._desk.packed))

    async def state(self, request: Request) -> Response:
        """What this browser last kept."""
        kept = await run_in_threadpool(self._desk.sessions.read, request.state.token, STATE)
        return json_reply(kept or b'{"state":{}}')

    async def keep_state(self, request: Request) -> Response:
        """Keep what the page wants to find again."""
        body = await read_object(request, {"state": dict}, ("state",))
        content = to_json(body)
        await run_in_threadpool(self._desk.sessions.write, request.state.token, STATE, content)
        return json_reply(content)


def _query(request: Request) -> dict[str, str]:
    typed: dict[str, str] = {}
    for name, value in request.query_params.multi_items():
        if name in typed:
            raise RefusedError({name: f"{name[:40]} is given twice"})
        typed[name] = value
    return typed
