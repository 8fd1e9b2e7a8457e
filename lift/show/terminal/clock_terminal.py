"""The live clock in a terminal, worked with one key."""

from __future__ import annotations

import select
import sys
import time
from collections.abc import Callable
from types import TracebackType

from rich.console import Console
from rich.live import Live

from lift.errors import LiftError
from lift.practice.service.clock import Clock, start_clock
from lift.practice.service.plan import Plan
from lift.show.terminal.clock_screen import digits, screen
from lift.show.terminal.preview import print_foot

TICK_SECONDS = 0.25
DONE_KEYS = (" ", "\r", "\n")


class Keyboard:
    """Keys of the terminal, read one at a time without waiting for a line.

    Raises
    ------
    LiftError
        When there is no terminal to read from.
    """

    def __enter__(self) -> Keyboard:
        if not (sys.stdin.isatty() and sys.stdout.isatty()):
            raise LiftError("the clock needs a terminal with a keyboard; leave --clock out here")
        import termios
        import tty

        self._fd = sys.stdin.fileno()
        self._before = termios.tcgetattr(self._fd)
        tty.setcbreak(self._fd)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        import termios

        termios.tcsetattr(self._fd, termios.TCSADRAIN, self._before)

    def read(self, seconds: float) -> str:
        """Return a key pressed within some time, or nothing."""
        ready, _, _ = select.select([sys.stdin], [], [], seconds)
        if not ready:
            return ""
        key = sys.stdin.read(1)
        # A closed terminal reads as nothing, for ever.
        return key or "q"


def run_clock(plan: Plan, *, speed: float = 1.0) -> None:
    """Run the clock until everything is rinsed and left, or ``q``.

    Parameters
    ----------
    plan : Plan
        What to do.
    speed : float
        How many times as fast as real time it runs, for rehearsing.

    Raises
    ------
    LiftError
        When there is no terminal.
    """
    console = Console(highlight=False)
    with Keyboard() as keyboard:
        marks = tick(
            plan,
            read=keyboard.read,
            time=lambda: time.monotonic() * speed / 60.0,
            console=console,
        )
    print_marks(marks, console)


def tick(
    plan: Plan,
    *,
    read: Callable[[float], str],
    time: Callable[[], float],
    console: Console,
) -> Clock:
    """Show, read a key, and so on, until left.

    Parameters
    ----------
    plan : Plan
        What to do.
    read : callable
        From the longest time to wait [s] to a key, or nothing.
    time : callable
        Returns the time [min].
    console : rich.console.Console
        Where to draw.

    Returns
    -------
    Clock
        With everything that was marked.
    """
    history = [start_clock(plan)]
    started: float | None = None
    with Live(console=console, screen=True, auto_refresh=False) as live:
        while True:
            # The clock stands until the first mix is marked.
            now = 0.0 if started is None else time() - started
            live.update(screen(history[-1], now, console), refresh=True)
            key = read(TICK_SECONDS)
            now = 0.0 if started is None else time() - started
            if key in DONE_KEYS:
                if history[-1].next(now).kind == "done":
                    return history[-1]
                started = time() if started is None else started
                history.append(history[-1].mark(now))
            elif key == "u" and len(history) > 1:
                history.pop()
                started = None if len(history) == 1 else started
            elif key in ("q", "\x03"):
                return history[-1]


def print_marks(clock: Clock, console: Console) -> None:
    """Print what was marked, beside the plan."""
    for zone in clock.zones:
        if zone.begun is None:
            console.print(f"{zone.name}: not begun")
            continue
        text = f"{zone.name}: begun {digits(zone.begun)} (plan {digits(zone.planned_start)})"
        if zone.rinsed is None:
            console.print(f"{text}, {len(zone.laid)} of {zone.sections} on, NOT RINSED")
            continue
        planned = zone.planned_start + zone.planned_wait
        console.print(f"{text}, rinsed {digits(zone.rinsed)} (plan {digits(planned)})")
        sections = zone.now(zone.rinsed + float(zone.rinse_after[-1]))
        for state, words in (("inside", "inside"), ("early", "short"), ("past", "past")):
            numbers = [str(s.number) for s in sections if s.state == state]
            if numbers:
                console.print(f"  {words}: sections {', '.join(numbers)}")
    curves = clock.plan.curves
    print_foot(console, clock.plan.cautions, curves.name, curves.standing)
