"""Interface of the strand test."""

from __future__ import annotations

from functools import partial
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lift.show.page.answers import Answer, to_json
from lift.show.page.desk import Desk
from lift.show.page.question import Question, read_question
from lift.show.page.reply import HttpError, answering, json_reply, read_object, texts
from lift.show.page.strands import FILE, answer_strand, keep_strand, read_looks


class StrandApi:
    """Handlers of the strand test."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def routes(self) -> list[Route]:
        """Routes of this part."""
        return [
            Route("/api/strand", answering(self.strand), methods=["POST"]),
            Route("/api/shown/strand", answering(self.strand_shown), methods=["POST"]),
            Route("/api/strand/kept", answering(self.kept), methods=["GET"]),
            Route("/api/strand/kept", answering(self.keep), methods=["PUT"]),
            Route("/api/strand/kept", answering(self.forget), methods=["DELETE"]),
        ]

    async def strand(self, request: Request) -> Response:
        """Strand test: the JSON form alone."""
        return json_reply((await self._answer(request)).plain)

    async def strand_shown(self, request: Request) -> Response:
        """Strand test: with words and screen colours."""
        return json_reply((await self._answer(request)).shown)

    async def kept(self, request: Request) -> Response:
        """Whether a test is kept."""
        folder = self._desk.sessions.folder_of(request.state.token)
        return json_reply(to_json({"kept": (folder / FILE).is_file()}))

    async def keep(self, request: Request) -> Response:
        """Keep a test for previews to come."""
        looks = read_looks(*await self._read(request))
        if not looks.seen:
            raise HttpError(422, "nothing was seen, so there is nothing to keep", "seen")
        folder = await run_in_threadpool(self._desk.sessions.make_folder, request.state.token)
        await run_in_threadpool(keep_strand, looks, self._desk.curves, folder)
        return json_reply(to_json({"kept": True}))

    async def forget(self, request: Request) -> Response:
        """Forget the kept test."""
        await run_in_threadpool(self._desk.sessions.delete, request.state.token, FILE)
        return json_reply(to_json({"kept": False}))

    async def _answer(self, request: Request) -> Answer:
        question, timed, seen, instrument = await self._read(request)
        read_looks(question, timed, seen, instrument)
        packed = self._desk.packed
        job = partial(answer_strand, question.typed, timed, seen, instrument, packed)
        return await self._desk.slow.get(("strand", question.key, timed, seen, instrument), job)

    async def _read(self, request: Request) -> tuple[Question, bool, tuple[str, ...], bool]:
        """Question, whether a rinse time was given, what was seen, and how the next look is."""
        keys: dict[str, Any] = {"asked": dict, "seen": list, "instrument": bool}
        body = await read_object(request, keys, ("asked",))
        typed = texts(body["asked"], "asked")
        seen = body.get("seen", [])
        if not all(isinstance(text, str) for text in seen):
            raise HttpError(422, "seen is not a list of texts", "seen")
        timed = "minutes" in typed
        question = read_question(typed, self._desk.curves)
        return question, timed, tuple(seen), body.get("instrument", False)
