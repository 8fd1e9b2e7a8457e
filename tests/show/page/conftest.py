"""The application without a socket, and a real server for a real browser."""

import asyncio
import json
import socket
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import pytest
import uvicorn

from lift.show.page.app import build_app

HOST = "127.0.0.1:8181"


def run_apart(coroutine):
    """Run a coroutine in a thread: Playwright keeps a loop of its own in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, coroutine).result()


@pytest.fixture
def run():
    return run_apart


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
        self.app, self.host, self.cookie, self.address = app, host, "", "127.0.0.1"

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
            "client": (self.address, 5000),
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
                assert "status" not in got
                got["status"], got["headers"] = message["status"], message["headers"]
            else:
                got["body"] += message.get("body", b"")

        run_apart(self.app(scope, receive, send))
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


class Served:
    """The application on a free port of this machine, in a thread of its own."""

    def __init__(self, data, port=0, **options):
        self.socket = socket.create_server(("127.0.0.1", port))
        self.port = self.socket.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        app = build_app(data, cookie=f"lift_{self.port}", **options)
        config = uvicorn.Config(
            app, log_level="warning", proxy_headers=False, timeout_graceful_shutdown=1
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [self.socket]})
        self.thread.start()
        while not self.server.started:
            time.sleep(0.02)

    def stop(self):
        self.server.should_exit = True
        self.thread.join()
        self.socket.close()


@pytest.fixture(scope="session")
def served(tmp_path_factory):
    site = Served(tmp_path_factory.mktemp("served"))
    yield site
    site.stop()


@pytest.fixture
def serve():
    """Start further servers, to stop and start them again."""
    made = []

    def start(data, **options):
        made.append(Served(data, **options))
        return made[-1]

    yield start
    for site in made:
        if site.thread.is_alive():
            site.stop()


SIZES = {"phone": (360, 740), "desktop": (1366, 860)}


# Counts what is heard in place of playing it; a machine that tests has no loudspeaker.
EARS = """
window.heard = [];
class Tone {
  constructor() { this.frequency = {}; }
  connect(next) { return next; }
  start(at) { window.heard.push(this.frequency.value); }
  stop() {}
}
class Volume {
  constructor() {
    this.gain = { setValueAtTime() {}, linearRampToValueAtTime() {} };
  }
  connect(next) { return next; }
}
window.AudioContext = class {
  constructor() { this.state = "running"; this.currentTime = 0; this.destination = {}; }
  createOscillator() { return new Tone(); }
  createGain() { return new Volume(); }
  resume() {}
};
"""


ASK = """([url, body]) => fetch(url, body && {
  method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
}).then((reply) => reply.json())"""


KEPT = """async () => {
  const visit = await import(new URL("visit.js", document.querySelector("script[src]").src));
  for (let waited = 0; visit.howKept() !== "kept"; waited += 50) {
    if (waited > 20000) throw new Error(`not kept: ${visit.howKept()}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  const reply = await fetch(`/api/visits/${visit.visitNow().visit.name}`);
  return (await reply.json()).visit;
}"""


def kept(page):
    """The visit as the server has it, once it has all of it."""
    return page.evaluate(KEPT)


class Visitor:
    """One visitor's browser window; asks nobody but the server, and has no complaint."""

    def __init__(self, chromium, url, size="desktop", theme="light"):
        width, height = SIZES[size]
        self.url, self.asked, self.complaints = url, [], []
        self.context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme=theme,
            has_touch=size == "phone",
            # What glides into place is not hit while it does.
            reduced_motion="reduce",
        )
        self.context.add_init_script(EARS)
        self.page = self.context.new_page()
        self.page.set_default_timeout(20_000)
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda m: m.type == "error" and self.complaints.append(m.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", lambda dialog: dialog.accept())

    def open(self, address=""):
        self.page.goto(f"{self.url}/#{address}")
        self.page.wait_for_selector("html[data-ready]", state="attached")
        return self.page

    def ask(self, url, body=None):
        """Ask the interface as the page would."""
        return self.page.evaluate(ASK, [url, body])

    def begin(self, like, step):
        """Open a step of a copy of a visit; its name."""
        self.open()
        name = self.ask("/api/visits", {"like": like})["visit"]["visit"]["name"]
        self.open(f"{name}/{step}")
        return name

    def text(self, selector):
        return self.page.inner_text(selector)

    @property
    def outside(self):
        return [u for u in self.asked if not u.startswith((self.url, "data:", "blob:"))]


@pytest.fixture
def visit(chromium):
    """Open windows, and close them; a window that complained fails the test."""
    made = []

    def open_window(url, size="desktop", theme="light"):
        made.append(Visitor(chromium, url, size, theme))
        return made[-1]

    yield open_window
    for visitor in made:
        visitor.context.close()
        assert visitor.outside == []
        # What was refused on purpose is a line in the console, too.
        real = [c for c in visitor.complaints if "Failed to load resource" not in c]
        assert real == []
