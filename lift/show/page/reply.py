"""Replies: errors in one form, bodies read once and checked."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable, Mapping
from functools import wraps
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from lift.errors import LiftError
from lift.show.page.answers import to_json
from lift.show.page.question import RefusedError
from lift.show.page.sessions import FullError

Handler = Callable[[Request], Awaitable[Response]]


class HttpError(Exception):
    """A reply other than success.

    Parameters
    ----------
    status : int
        HTTP status.
    message : str
        One line for the reader.
    field : str
        Field it stands beside, where there is one.
    """

    def __init__(self, status: int, message: str, field: str = "") -> None:
        super().__init__(message)
        self.status = status
        self.errors = {field: message}


def json_reply(content: bytes, status: int = 200) -> Response:
    """Reply with JSON that is already written."""
    return Response(content, status, media_type="application/json")


def error_reply(status: int, errors: Mapping[str, str]) -> Response:
    """Reply with errors by field."""
    rows = [{"field": field, "message": message} for field, message in errors.items()]
    return json_reply(to_json({"errors": rows}), status)


def answering(handler: Handler) -> Handler:
    """Turn refusals into replies: 422 a value, 409 values together, 507 no room."""

    @wraps(handler)
    async def answer(request: Request) -> Response:
        try:
            return await handler(request)
        except HttpError as error:
            return error_reply(error.status, error.errors)
        except RefusedError as error:
            return error_reply(409 if error.together else 422, error.errors)
        except FullError as error:
            return error_reply(507, {"": str(error)})
        except LiftError as error:
            return error_reply(422, {"": str(error)})

    return answer


async def read_object(request: Request, keys: Mapping[str, type], need: tuple[str, ...]) -> Any:
    """JSON object of a body, with only these keys and of these types.

    Raises
    ------
    HttpError
        415 for another kind of body, 400 for broken JSON, 422 for a wrong key or type.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise HttpError(415, "the body must be application/json")
    try:
        body = json.loads(await request.body(), parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise HttpError(400, "the body is not valid JSON") from None
    if not isinstance(body, dict):
        raise HttpError(422, "the body must be a JSON object")
    for key, value in body.items():
        if key not in keys:
            raise HttpError(422, f"{key[:40]!r} is not one of {', '.join(keys)}", key[:40])
        if not isinstance(value, keys[key]):
            raise HttpError(422, f"{key} is not {_WORDS[keys[key]]}", key)
    for key in need:
        if key not in body:
            raise HttpError(422, f"{key} is missing", key)
    return body


def texts(values: Mapping[str, Any], name: str) -> dict[str, str]:
    """Return an object of a body when all its values are texts.

    Raises
    ------
    HttpError
        422 at the first value that is none.
    """
    for key, value in values.items():
        if not isinstance(value, str):
            raise HttpError(422, f"{name}.{key[:40]} is not text", key[:40])
    return dict(values)


_WORDS = {str: "text", dict: "an object", list: "a list", bool: "true or false"}


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not JSON")
