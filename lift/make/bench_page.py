"""Benchmark of the page: ``python -m lift.make.bench_page [USERS] [SECONDS]``; loopback only.

Each user drags one slider of a mixture after another up and down without a pause, as the step for
what to use has them, by the rule of the page's own script (``lift/show/page/static/ask.js``): one
question at a time, always the newest position, and pauses that grow while answers wait for those of
others. Users have hair, goals and mixtures of their own.
"""

from __future__ import annotations

import asyncio
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

from lift.model.mixtures import mixture_classes
from lift.show.page.fields import BY_NAME

USERS, SECONDS = 50, 30
QUEUED_MS, LONGEST_PAUSE_MS, FRAME_MS = 15.0, 4000.0, 16.0
DRAGGED = ("volume", "minutes", "carry")
MOST_CARRIED, CARRIED_STEP = 20.0, 0.5
DRAG_SECONDS = 4.0


@dataclass
class User:
    """One user: what stands in the form, and what was felt.

    Parameters
    ----------
    number : int
        Decides hair, mixture and the order of the sliders.
    waits_ms : list of float
        Time from asking to the answer [ms].
    errors : list of str
        What went wrong.
    """

    number: int
    waits_ms: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._random = random.Random(self.number)
        pick = self._random
        level = pick.uniform(3, 8)
        mixture = pick.choice(("cream", "base-break", "powder"))
        self.form: dict[str, str] = {
            "level": f"{level:.1f}",
            "volume": str(pick.choice((10, 20))),
            "minutes": "10",
            "fibre": str(pick.choice((50, 70, 90))),
            "mixture": mixture,
            "goal": "blend" if mixture == "base-break" else f"lighten {level + 1.5:.1f}",
        }

    def drag(self, name: str, share: float) -> str:
        """Move a slider to a share of its way and return the question."""
        of = mixture_classes()[self.form["mixture"]]
        high = MOST_CARRIED if name == "carry" else of.bound(name).high
        step = CARRIED_STEP if name == "carry" else BY_NAME[name].quantity.step
        value = f"{step * round(share * high / step):g}"
        moved = {name: f"violet={value}" if name == "carry" else value}
        return "/api/preview?" + urlencode(
            {**self.form, **moved, "moving": "true", "shown": "true"}
        )

    async def run(self, port: int, until: float) -> None:
        """Drag until a moment on the loop's clock [s]."""
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        pause = 0.0
        try:
            while (now := time.perf_counter()) < until:
                turn = (now + self.number) / DRAG_SECONDS
                name = DRAGGED[(int(turn) + self.number) % len(DRAGGED)]
                way = 2.0 * (turn % 1.0)
                start = time.perf_counter()
                status, waited = await _get(
                    reader, writer, self.drag(name, min(way, 2.0 - way)), port
                )
                took = 1000.0 * (time.perf_counter() - start)
                self.waits_ms.append(took)
                if status != 200:
                    self.errors.append(f"status {status}")
                pause = next_pause(pause, waited, took)
                # A slider moves once a frame, however soon the answer came.
                await asyncio.sleep(max(pause if pause >= 2.0 else 0.0, FRAME_MS - took, 0.0) / 1e3)
        except OSError as error:
            self.errors.append(str(error))
        finally:
            writer.close()


def next_pause(pause: float, waited: float, took: float) -> float:
    """Pause after an answer that took, and waited, so long [ms], by the rule of the script."""
    if waited <= QUEUED_MS:
        return 0.8 * pause
    return min(max(1.5 * pause + 10.0, 4.0 * took), LONGEST_PAUSE_MS)


async def _get(
    reader: asyncio.StreamReader, writer: asyncio.StreamWriter, path: str, port: int
) -> tuple[int, float]:
    writer.write(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
    head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
    length = int(head.split("content-length: ", 1)[1].split("\r\n", 1)[0])
    await reader.readexactly(length)
    waited = head.partition("wait;dur=")[2].partition("\r\n")[0]
    return int(head.split(" ", 2)[1]), float(waited or 0.0)


def memory_mb(pid: int) -> float:
    """Resident memory of a process and its children [MB]; 0 where the system does not tell."""
    total = 0.0
    try:
        for one in [pid, *_children(pid)]:
            words = Path(f"/proc/{one}/statm").read_text("ascii").split()
            total += int(words[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6
    except (OSError, ValueError):
        return 0.0
    return total


def processor_seconds(pid: int) -> float:
    """Time that a process and its children have computed [s]; 0 where the system does not tell."""
    total = 0
    try:
        for one in [pid, *_children(pid)]:
            words = Path(f"/proc/{one}/stat").read_text("ascii").rpartition(")")[2].split()
            total += int(words[11]) + int(words[12])
    except (OSError, ValueError):
        return 0.0
    return total / os.sysconf("SC_CLK_TCK")


def _children(pid: int) -> list[int]:
    tasks = Path(f"/proc/{pid}/task").glob("*/children")
    return [int(word) for task in tasks for word in task.read_text("ascii").split()]


async def load(port: int, pid: int, users: int, seconds: float) -> list[str]:
    """Let users drag, and say what was measured.

    Parameters
    ----------
    port, pid : int
        Where the server listens, and its process.
    users : int
        How many drag at once.
    seconds : float
        For how long [s].

    Returns
    -------
    list of str
        One line for each figure.
    """
    people = [User(number) for number in range(users)]
    until = time.perf_counter() + seconds
    memory: list[float] = []
    before = processor_seconds(pid)

    async def watch() -> None:
        while time.perf_counter() < until:
            memory.append(memory_mb(pid))
            await asyncio.sleep(seconds / 30.0)

    await asyncio.gather(watch(), *(person.run(port, until) for person in people))
    waits = sorted(w for person in people for w in person.waits_ms)
    errors = [e for person in people for e in person.errors]
    computed = 1000.0 * (processor_seconds(pid) - before)
    third = len(memory) // 3
    early, late = (
        statistics.median(memory[third : 2 * third]),
        statistics.median(memory[2 * third :]),
    )
    return [
        f"{users} users dragging for {seconds:g} s: {len(waits)} answers, "
        f"{len(waits) / seconds / users:.1f} a second for each",
        f"errors {len(errors)}" + (f": {errors[0]}" if errors else ""),
        f"answer [ms]: median {waits[len(waits) // 2]:.1f}, nine in ten "
        f"{waits[int(0.9 * len(waits))]:.1f}, 99 in 100 {waits[int(0.99 * len(waits))]:.1f}, "
        f"worst {waits[-1]:.1f}",
        f"computing [ms]: {computed / max(len(waits), 1):.1f} an answer, on average",
        f"memory [MB]: {early:.0f} in the second third, {late:.0f} in the last",
    ]


def start_server(folder: str) -> tuple[subprocess.Popen[str], int]:
    """Start the page on a free port; return its process and the port."""
    words = [sys.executable, "-m", "lift", "page", "--port", "0", "--data", folder]
    server = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    assert server.stdout is not None
    address = server.stdout.readline().split()[1]
    return server, int(address.rstrip("/").rpartition(":")[2])


def main() -> None:
    """Print one user's wait, then that of many."""
    users = int(sys.argv[1]) if len(sys.argv) > 1 else USERS
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else float(SECONDS)
    with tempfile.TemporaryDirectory() as folder:
        server, port = start_server(folder)
        try:
            asyncio.run(load(port, server.pid, 1, 2.0))
            for line in asyncio.run(load(port, server.pid, 1, seconds / 3.0)):
                print(line)
            for line in asyncio.run(load(port, server.pid, users, seconds)):
                print(line)
        finally:
            server.terminate()
            server.wait()


if __name__ == "__main__":
    main()
