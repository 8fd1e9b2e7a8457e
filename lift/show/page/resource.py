"""Resources of the interface: what is asked is read once, what is refused has one form."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lift.answers.encode import Code, Part, encode
from lift.errors import LiftError, check_choice
from lift.show.page.answer import Answer, to_json
from lift.show.page.desk import Asked, Desk
from lift.show.page.fields import Field
from lift.show.page.question import RefusedError, refuse_all
from lift.show.page.reading import read_json, read_text
from lift.show.page.sessions import FullError
from lift.words import Note, note, say


@dataclass(frozen=True, eq=False)
class Parameter:
    """One value of a query that is no field of the form."""

    name: str
    type: Any
    required: bool = False

    @property
    def about(self) -> str:
        """One sentence for the description of the interface."""
        return say(f"page.api.query.{self.name}")


SHOWN = Parameter("shown", Literal["false", "true"])


@dataclass(frozen=True)
class Content:
    """A body that is no JSON: of which media types, and how many bytes it may have."""

    kinds: tuple[str, ...]
    most: int


class Wrong(Part):
    """What is wrong with one field, or with none of them."""

    field: str
    message: str
    message_code: Code


class Errors(Part):
    """Everything that is refused."""

    errors: list[Wrong]


Handler = Callable[[Desk, Asked], Any]
"""Returns an answer, a structure or JSON; one that only computes runs in a thread."""


@dataclass(frozen=True, eq=False)
class Resource:
    """One method of one address: what it takes, what it answers, and who does the work.

    Parameters
    ----------
    handler : callable
        Does the work; its name is that of its summary.
    answer, shown : type or None
        What it answers, and what stands beside it for a screen; None: no JSON, nothing beside.
    query : tuple of Parameter or Field
        What the query may hold; empty: it is not looked at.
    body, content : type, Content or None
        What is sent: JSON of a type, or bytes.
    refusals : tuple of int
        Statuses of refusals besides those that query and body bring.
    """

    method: str
    path: str
    handler: Handler
    answer: type | None = None
    shown: type | None = None
    query: tuple[Parameter | Field, ...] = ()
    body: type[Part] | None = None
    content: Content | None = None
    refusals: tuple[int, ...] = ()

    @property
    def parameters(self) -> tuple[Parameter | Field, ...]:
        """All that the query may hold."""
        return self.query if self.shown is None else (*self.query, SHOWN)

    @property
    def statuses(self) -> list[int]:
        """All statuses of refusals."""
        query = (414, 422) if self.parameters else ()
        body = (400, 413, 415, 422) if self.body or self.content else ()
        return sorted({403, *query, *body, *self.refusals})

    def route(self, desk: Desk, path: str = "", shown: bool = False) -> Route:
        """Route at its address or another; `shown`: as if that had been asked for."""

        async def endpoint(request: Request) -> Response:
            asked = await self._read(request)
            more = asked.query.pop("shown", "true" if shown else "false") == "true"
            if inspect.iscoroutinefunction(self.handler):
                return _reply(await self.handler(desk.answering, asked), more)
            return _reply(await run_in_threadpool(self.handler, desk.answering, asked), more)

        return Route(path or self.path, endpoint, methods=[self.method])

    async def _read(self, request: Request) -> Asked:
        query: dict[str, str] = {}
        if self.parameters:
            for name, value in request.query_params.multi_items():
                if name in query:
                    raise RefusedError({name: note("page.given_twice", name=name[:40])})
                query[name] = value
            query = refuse_all({name: partial(self._value, name, query[name]) for name in query})
            for each in self.query:
                if isinstance(each, Parameter) and each.required and each.name not in query:
                    missing = note("page.body.missing", key=each.name)
                    raise RefusedError({each.name: missing})
        body: Any = None
        if self.body is not None:
            body = await read_body(request, self.body)
        elif self.content is not None:
            body = await read_content(request, self.content)
        return Asked(request.state.token, request.path_params.get("name", ""), query, body)

    def _value(self, name: str, text: str) -> Any:
        """Value of a query; that of a field is read with all the others."""
        known = {parameter.name: parameter for parameter in self.parameters}
        asked = known[check_choice("page.field", name, known)]
        return text if isinstance(asked, Field) else read_text(name, text, asked.type)


def _reply(got: Any, shown: bool) -> Response:
    if not isinstance(got, Answer):
        return json_reply(encode(got) if isinstance(got, Part) else to_json(got))
    content = got.shown if shown else got.plain
    reply = Response(content, media_type=got.media, headers=dict(got.headers))
    if got.waited is not None:
        # Tells the page to ask less often when others are asking, too.
        reply.headers["Server-Timing"] = f"wait;dur={1000.0 * got.waited:.1f}"
    return reply


def json_reply(content: bytes, status: int = 200) -> Response:
    """Reply with JSON that is already written."""
    return Response(content, status, media_type="application/json")


def error_reply(status: int, errors: Mapping[str, Note | str]) -> Response:
    """Reply with errors by field, each a sentence with its code and numbers."""
    rows = [
        {"field": field, "message": str(what), "message_code": _code(what)}
        for field, what in errors.items()
    ]
    return json_reply(to_json({"errors": rows}), status)


def _code(what: Note | str) -> dict[str, Any]:
    return (what if isinstance(what, Note) else note("text", text=what)).to_dict()


def refusal(error: LiftError) -> Response:
    """Reply with what was refused: 507 no room, else as the refusal says, else 422."""
    if isinstance(error, RefusedError):
        return error_reply(error.status, error.errors)
    return error_reply(507 if isinstance(error, FullError) else 422, {"": error.note})


async def read_body(request: Request, kind: type[Part]) -> Any:
    """Body of a request, with only the fields of a structure and of their types.

    Raises
    ------
    RefusedError
        415 for another kind of body, 400 for broken JSON, 422 at the place of what is wrong.
    """
    if _media_type(request) != "application/json":
        raise RefusedError({"": note("page.body.kind")}, 415)
    return read_json(await request.body(), kind)


async def read_content(request: Request, content: Content) -> bytes:
    """Bytes of a request, as they were sent; what they may weigh was watched as they came.

    Raises
    ------
    RefusedError
        415 for another kind of body.
    """
    if _media_type(request) not in content.kinds:
        raise RefusedError({"": note("page.body.picture")}, 415)
    return await request.body()


def _media_type(request: Request) -> str:
    return request.headers.get("content-type", "").partition(";")[0].strip().lower()
