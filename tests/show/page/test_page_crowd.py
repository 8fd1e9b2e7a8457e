"""A crowd of strangers on one network, and a paired phone that is answered all the same."""

import http.client
import re
import socket
import subprocess
import sys
import threading
import time

import pytest

from lift.show.page import connections
from lift.show.page.connections import BODY_SECONDS, HEAD_SECONDS, IDLE_SECONDS, SLOWEST_BYTES

STRANGER, PHONE = "127.0.0.2", "127.0.0.3"

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="addresses beside 127.0.0.1 are needed"
)


class Salon:
    """The page, served to a network; strangers and phone have addresses of their own."""

    def __init__(self, data):
        command = [sys.executable, "-m", "lift", "page", "--host", "0.0.0.0", "--port", "0"]
        self.process = subprocess.Popen(
            [*command, "--data", str(data)], stdout=subprocess.PIPE, text=True
        )
        said = [self.process.stdout.readline() for _ in range(2)]
        self.port = int(re.search(r":(\d+)/", said[0])[1])
        code = re.search(r"code: ([\d ]+)", said[1])[1].replace(" ", "")
        self.cookie = ""
        reply = self.ask("POST", "/pair", f"code={code}")
        assert reply.status == 303
        self.cookie = reply.headers["set-cookie"].partition(";")[0]
        self.phone(times=6)  # the first answers wait for libraries to load

    def open(self, address, sent=b""):
        made = socket.create_connection(("127.0.0.1", self.port), 30, source_address=(address, 0))
        made.sendall(sent)
        return made

    def ask(self, method, path, body=None):
        asking = http.client.HTTPConnection("127.0.0.1", self.port, 10, source_address=(PHONE, 0))
        headers = {"Cookie": self.cookie, "Origin": f"http://127.0.0.1:{self.port}"}
        asking.request(method, path, body, headers)
        reply = asking.getresponse()
        reply.read()
        asking.close()
        return reply

    def phone(self, times=1):
        """Longest that the phone waited for an answer [s], each of another question."""
        longest = 0.0
        for count in range(times):
            start = time.perf_counter()
            assert self.ask("GET", f"/api/preview?level={1 + count % 8}.5").status == 200
            longest = max(longest, time.perf_counter() - start)
            time.sleep(0.05)
        return longest


@pytest.fixture(scope="module")
def salon(tmp_path_factory):
    made = Salon(tmp_path_factory.mktemp("salon"))
    yield made
    made.process.kill()
    made.process.wait()
    made.process.stdout.close()


def closes_after(connection):
    start = time.perf_counter()
    try:
        while connection.recv(65_536):
            pass
    except ConnectionError:
        pass
    connection.close()
    return time.perf_counter() - start


CROWD = """
import asyncio, os, sys
port, address = int(sys.argv[1]), sys.argv[2]
os.nice(10)  # strangers bring processors of their own

async def half(count):
    _, out = await asyncio.open_connection("127.0.0.1", port, local_addr=(address, 0))
    out.write(b"GET / HT"[: 8 * (count % 2)])
    return out

async def busy():
    while True:
        try:
            heard, out = await asyncio.open_connection("127.0.0.1", port, local_addr=(address, 0))
            while not heard.at_eof():
                out.write(b"GET /pair HTTP/1.1\\r\\nHost: 127.0.0.1\\r\\n\\r\\n")
                await heard.readuntil(b"</html>")
                if asked.setdefault("answers", 0) == 0:
                    print("answered", flush=True)
                asked["answers"] += 1
        except (OSError, EOFError):
            pass

async def main():
    kept = [await half(count) for count in range(256)]
    await asyncio.gather(*(busy() for _ in range(200)))

asked = {}
asyncio.run(main())
"""


@pytest.mark.slow
@pytest.mark.parametrize("address", [STRANGER, PHONE])
def test_a_phone_is_answered_beside_half_open_and_busy_connections(salon, address):
    command = [sys.executable, "-c", CROWD, str(salon.port), address]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as crowd:
        assert crowd.stdout.readline() == "answered\n"
        try:
            assert salon.phone(times=20) < 1.0
            assert crowd.poll() is None
        finally:
            crowd.kill()


@pytest.mark.slow
def test_what_is_slow_or_idle_is_closed_within_seconds(salon):
    asked = b"GET /pair HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    posted = b"POST /pair HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://127.0.0.1\r\n"
    sent = {
        "silent": (b"", HEAD_SECONDS),
        "half a head": (b"GET / HT", HEAD_SECONDS),
        "half a body": (posted + b"Content-Length: 9\r\n\r\nco", BODY_SECONDS),
        "half behind a whole": (asked + posted + b"Content-Length: 9\r\n\r\nco", BODY_SECONDS),
        "asked and idle": (asked, IDLE_SECONDS),
    }
    opened = {name: salon.open(STRANGER, what) for name, (what, _) in sent.items()}
    took = {}
    watching = [
        threading.Thread(target=lambda n=name, c=opened[name]: took.update({n: closes_after(c)}))
        for name in opened
    ]
    for thread in watching:
        thread.start()
    for thread in watching:
        thread.join()
    for name, (_, seconds) in sent.items():
        assert seconds - 1 < took[name] < seconds + 4, name


class Held(connections.Connection):
    """A connection without a socket, at a time that the test sets."""

    def __init__(self, address="a", heard=None, asked=False):
        self.client, self._heard, self.now = (address, 1), heard, 100.0
        self.cycle = type("Cycle", (), {"response_complete": not asked, "more_body": True})()
        self.loop = self
        self._bytes = 0

    def time(self):
        return self.now


def test_the_address_that_has_most_gives_up_the_one_that_waited_longest():
    give_up = connections._one_to_give_up
    alone = Held("phone", heard=1.0)
    asked, old, new = Held(asked=True, heard=2.0), Held(heard=3.0), Held(heard=4.0)
    assert give_up({alone, asked, new, old}) is old
    assert give_up({alone, asked, new, old, idle := Held()}) is idle
    assert give_up({alone, asked, Held(asked=True, heard=5.0)}) is asked


def test_a_body_that_comes_steadily_may_take_its_time():
    slow = Held(heard=0.0, asked=True)
    slow.now = BODY_SECONDS + 20
    slow._bytes = 21 * SLOWEST_BYTES
    assert not slow._is_late()
    slow._bytes = 19 * SLOWEST_BYTES
    assert slow._is_late()


def test_an_answer_that_nobody_takes_is_given_up():
    held = Held(heard=99.0)
    held.flow = type("Flow", (), {"pause_writing": int, "resume_writing": int})()
    held.pause_writing()
    held.now += connections.SEND_SECONDS + 1
    held._heard = None
    assert held._is_late()
    held.resume_writing()
    assert not held._is_late()
