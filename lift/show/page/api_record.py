"""Interface of the record."""

from __future__ import annotations

from functools import partial
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lift.errors import LiftError, check_choice
from lift.show.page.answers import Answer, to_json
from lift.show.page.desk import Desk
from lift.show.page.question import RefusedError, read_question
from lift.show.page.records import (
    Outcome,
    add_record,
    csv_records,
    delete_records,
    learn_records,
    list_records,
    read_record,
)
from lift.show.page.reply import HttpError, answering, json_reply, read_object, texts

WHICH = ("number", "client", "everything")


class RecordApi:
    """Handlers of the record."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def routes(self) -> list[Route]:
        """Routes of this part."""
        return [
            Route("/api/records", answering(self.records), methods=["GET"]),
            Route("/api/records", answering(self.add), methods=["POST"]),
            Route("/api/shown/records", answering(self.add_shown), methods=["POST"]),
            Route("/api/records", answering(self.delete), methods=["DELETE"]),
            Route("/api/records.csv", answering(self.csv), methods=["GET"]),
            Route("/api/learn", answering(self.learn), methods=["POST"]),
            Route("/api/shown/learn", answering(self.learn_shown), methods=["POST"]),
        ]

    async def records(self, request: Request) -> Response:
        """List the session's records."""
        text = await run_in_threadpool(list_records, self._folder(request))
        return json_reply(text.encode())

    async def csv(self, request: Request) -> Response:
        """List the session's records for a spreadsheet."""
        text = await run_in_threadpool(csv_records, self._folder(request))
        headers = {"content-disposition": 'attachment; filename="records.csv"'}
        return Response(text, media_type="text/csv", headers=headers)

    async def add(self, request: Request) -> Response:
        """Append a record."""
        return json_reply((await self._add(request)).plain)

    async def add_shown(self, request: Request) -> Response:
        """Append a record; with the words of the terminal."""
        return json_reply((await self._add(request)).shown)

    async def _add(self, request: Request) -> Answer:
        keys: dict[str, Any] = {
            "asked": dict,
            "seen": str,
            "client": str,
            "date": str,
            "zone": str,
            "invented": bool,
        }
        body = await read_object(request, keys, ("asked", "seen"))
        question = read_question(texts(body.pop("asked"), "asked"), self._desk.curves)
        record = read_record(question, Outcome(**body))
        folder = await run_in_threadpool(self._desk.sessions.make_folder, request.state.token)
        return await run_in_threadpool(add_record, record, folder, self._desk.curves)

    async def delete(self, request: Request) -> Response:
        """Delete one record, a client's, or all, for good."""
        asked = dict(request.query_params.multi_items())
        for name in asked:
            check_choice("what to delete", name, WHICH)
        if len(asked) != 1:
            raise HttpError(422, "give one of number, client, everything=true")
        which: dict[str, Any] = dict(asked)
        if "everything" in which:
            check_choice("everything", which["everything"], ("true",))
            which["everything"] = True
        try:
            gone = await run_in_threadpool(delete_records, self._folder(request), which)
        except LiftError as error:
            raise HttpError(404, str(error)) from None
        return json_reply(to_json({"deleted": gone}))

    async def learn(self, request: Request) -> Response:
        """Learn from the session's records."""
        return json_reply((await self._learn(request)).plain)

    async def learn_shown(self, request: Request) -> Response:
        """Learn from the session's records; with the words of the terminal."""
        return json_reply((await self._learn(request)).shown)

    async def _learn(self, request: Request) -> Answer:
        body = await read_object(request, {"invented": bool}, ())
        invented = body.get("invented", False)
        job = partial(learn_records, self._folder(request), self._desk.curves, invented)
        try:
            return await run_in_threadpool(job)
        except LiftError as error:
            raise RefusedError({"": str(error)}, together=True) from None

    def _folder(self, request: Request) -> Any:
        return self._desk.sessions.folder_of(request.state.token)
