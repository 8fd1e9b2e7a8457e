"""The application without a socket, and a real server for a real browser."""

import asyncio
import json
from dataclasses import dataclass, field

import pytest

from lift.show.page.app import build_app

HOST = "127.0.0.1:8181"


@dataclass
class Reply:
    status: int
    headers: dict
    body: bytes
    cookies: list = field(default_factory=list)

    @property
    def json(self):
        return json.loads(self.body)

    @property
    def errors(self):
        return {row["field"]: row["message"] for row in self.json["errors"]}


class Browser:
    """Speaks ASGI to an application, with a cookie of its own; only what a browser would send."""

    def __init__(self, app, host=HOST):
        self.app, self.host, self.cookie = app, host, ""

    def call(self, method, url, body=None, headers=None, chunks=None, scheme="http"):
        path, _, query = url.partition("?")
        sent = {"host": self.host, **({"cookie": self.cookie} if self.cookie else {})}
        if body is not None and not isinstance(body, bytes):
            body = json.dumps(body).encode()
            sent["content-type"] = "application/json"
        if method not in ("GET", "HEAD"):
            sent["origin"] = f"{scheme}://{self.host}"
        if body is not None and chunks is None:
            sent["content-length"] = str(len(body))
        sent |= headers or {}
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "scheme": scheme,
            "path": path,
            "raw_path": path.encode(),
            "query_string": query.encode(),
            "root_path": "",
            "headers": [
                (k.lower().encode("latin-1"), v.encode("latin-1"))
                for k, v in sent.items()
                if v is not None
            ],
            "client": ("127.0.0.1", 5000),
            "server": ("127.0.0.1", 8181),
        }
        waiting = list(chunks) if chunks is not None else [body or b""]
        got = {"body": b""}

        async def receive():
            if waiting:
                part = waiting.pop(0)
                return {"type": "http.request", "body": part, "more_body": bool(waiting)}
            await asyncio.sleep(3600)

        async def send(message):
            if message["type"] == "http.response.start":
                got["status"], got["headers"] = message["status"], message["headers"]
            else:
                got["body"] += message.get("body", b"")

        asyncio.run(self.app(scope, receive, send))
        heads = [(k.decode(), v.decode()) for k, v in got["headers"]]
        cookies = [v for k, v in heads if k == "set-cookie"]
        for cookie in cookies:
            self.cookie = cookie.partition(";")[0]
        return Reply(got["status"], dict(heads), got["body"], cookies)

    def get(self, url, **more):
        return self.call("GET", url, **more)

    def put(self, url, body, **more):
        return self.call("PUT", url, body, **more)

    def post(self, url, body=b"", **more):
        return self.call("POST", url, body, **more)

    def delete(self, url, **more):
        return self.call("DELETE", url, **more)


@pytest.fixture(scope="session")
def shared_app(tmp_path_factory):
    """One application for the tests that keep nothing."""
    return build_app(tmp_path_factory.mktemp("page"))


@pytest.fixture
def browser(shared_app):
    return Browser(shared_app)


@pytest.fixture
def open_browser():
    """Make further browsers, for other applications or other names of the host."""
    return Browser
