"""The clock's screen: readable from a metre, fits, and worked with one key."""

import io
import os
import pty
import re
import select
import sys
import termios
import time
from pathlib import Path

import pytest
from rich.console import Console

from lift.practice.service.clock import start_clock
from lift.practice.service.plan import plan
from lift.practice.service.scenario_file import load_scenario
from lift.show.terminal.big_letters import GLYPHS, ROWS, big
from lift.show.terminal.clock_screen import digits, headline, screen
from lift.show.terminal.clock_terminal import Keyboard, print_marks, tick

SHARED = Path(__file__).parents[3] / "shared"
ROOT = SHARED.parent


@pytest.fixture(scope="module")
def refresh():
    return plan(load_scenario(SHARED / "blonde_refresh.toml"), members=20)


def shown(clock, now, width=80, height=24, **options):
    out = io.StringIO()
    console = Console(file=out, width=width, height=height, highlight=False, **options)
    console.print(screen(clock, now, console))
    return out.getvalue()


def test_every_glyph_is_five_rows_of_one_width():
    for letter, rows in GLYPHS.items():
        assert len(rows) == ROWS, letter
        assert len({len(row) for row in rows}) == 1, letter
    assert set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789:+-! ") <= set(GLYPHS)
    assert len({GLYPHS[c] for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"}) == 36


def test_letters_scale_and_stop_at_the_edge():
    assert len(big("12", tall=2)) == 10
    assert len({len(row) for row in big("RINSE")}) == 1
    assert len(big("0", wide=2)[0]) == 2 * len(big("0")[0])
    assert len(big("RINSE NOW", width=20)[0]) <= 20


@pytest.mark.parametrize(
    ("minutes", "text"), [(0.0, "0:00"), (1.5, "1:30"), (-0.5, "-0:30"), (61.0, "61:00")]
)
def test_digits(minutes, text):
    assert digits(minutes) == text


def word(clock, now):
    return headline(clock, clock.next(now), now)


def test_headlines_of_a_service(refresh):
    clock = start_clock(refresh)
    assert word(clock, 0.0).word == "MIX"
    assert "SPACE starts" in word(clock, 0.0).caption
    clock = clock.mark(0.0)
    head = word(clock, 0.4)
    assert head.word == "LAY 1"
    assert head.minutes == pytest.approx(55 / 60 - 0.4)
    now = 0.0
    for _ in range(12):
        now += 55 / 60
        clock = clock.mark(now)
    wait = word(clock, now)
    assert (wait.word, wait.caption) == ("WAIT", "then mix for base")
    start = clock.next(now).at
    assert word(clock, start - 1.0).urgency == "soon"
    clock = clock.mark(start)
    for place in range(1, 5):
        clock = clock.mark(start + place / 3)
    rinse = clock.next(start + 1.5)
    assert word(clock, rinse.at - 1.0).word == "RINSE IN"
    due = word(clock, rinse.at)
    assert (due.word, due.urgency) == ("RINSE NOW", "now")
    assert due.minutes == pytest.approx(rinse.until - rinse.at)
    assert "past the close" in word(clock, rinse.until + 1.0).caption
    assert word(clock, rinse.until + 1.0).minutes == pytest.approx(-1.0)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20), (200, 60)])
@pytest.mark.parametrize("moment", [0.0, 4.0, 11.5, 30.0])
def test_it_fits_the_terminal(refresh, size, moment):
    clock = start_clock(refresh)
    now = 0.0
    while now <= moment and clock.next(now).kind != "done":
        clock = clock.mark(now)
        now += 55 / 60
    lines = shown(clock, max(now, moment), *size).splitlines()
    assert len(lines) <= size[1]
    assert max(len(line.rstrip()) for line in lines) <= size[0]


def test_sections_show_time_level_and_minutes_to_close(refresh):
    clock = start_clock(refresh).mark(0.0).mark(55 / 60).mark(110 / 60)
    text = shown(clock, 5.0)
    first = clock.zone("foils").now(5.0)[0]
    assert f"{digits(5.0)} {first.level:.1f} early {first.to_close:.0f}m" in text
    assert "foils: 2 of 12 on, rinse" in text
    assert "SPACE" in text
    assert "strand test" in text


def test_past_a_close_is_said(refresh):
    clock = start_clock(refresh).mark(0.0).mark(55 / 60)
    assert "PAST" in shown(clock, 45.0)


def test_no_colour_where_there_is_none(refresh):
    clock = start_clock(refresh).mark(0.0).mark(55 / 60)
    assert "\x1b" not in shown(clock, 2.0)
    coloured = shown(clock, 45.0, force_terminal=True, color_system="truecolor")
    assert "\x1b[" in coloured


def play(result, keys):
    """Run the loop with keys that come at given minutes, on a clock of our own."""
    state = {"now": 0.0}
    waiting = list(keys)

    def read(_seconds):
        if waiting:
            state["now"], key = waiting.pop(0)
            return key
        return "q"

    console = Console(file=io.StringIO(), force_terminal=True, width=80, height=24)
    return tick(result, read=read, time=lambda: state["now"], console=console)


def test_the_clock_starts_with_the_first_key(refresh):
    marks = play(refresh, [(7.0, " "), (8.0, " ")])
    assert marks.zone("foils").begun == 0.0
    assert marks.zone("foils").laid == (1.0,)


def test_undo_takes_the_last_mark_back(refresh):
    marks = play(refresh, [(0.0, " "), (1.0, " "), (1.1, "u"), (2.0, " ")])
    assert marks.zone("foils").laid == (2.0,)
    again = play(refresh, [(0.0, " "), (1.0, "u"), (5.0, " "), (6.0, " ")])
    assert again.zone("foils").begun == 0.0
    assert again.zone("foils").laid == (1.0,)


def test_one_key_leads_through_the_whole_service(refresh):
    marks = play(refresh, [(t, " ") for t in (0, *range(1, 13), 17, 18, 18.4, 18.8, 19.1, 23, 26)])
    assert all(z.rinsed is not None for z in marks.zones)


def read_until(master, wanted, seconds):
    text, end = "", time.monotonic() + seconds
    while time.monotonic() < end:
        ready, _, _ = select.select([master], [], [], 0.2)
        if ready:
            try:
                text += os.read(master, 65536).decode("utf-8", "replace")
            except OSError:
                break
            if wanted in text:
                break
    return text


@pytest.mark.slow
def test_in_a_terminal_with_the_space_bar():
    """A real pseudo-terminal, a minute a second; the space bar alone leads to the end."""
    pid, master = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        os.environ.update(PYTHONPATH=str(ROOT), TERM="xterm-256color", LINES="24", COLUMNS="80")
        file = str(SHARED / "blonde_refresh.toml")
        args = ["-m", "lift", "plan", file, "--clock", "--rehearse", "120"]
        os.execv(sys.executable, [sys.executable, *args])
    try:
        started = read_until(master, "SPACE starts the clock", 60.0)
        assert "SPACE starts the clock" in started
        text = ""
        for _ in range(80):
            os.write(master, b" ")
            text += read_until(master, "(plan", 0.25)
            if "(plan" in text:
                break
        text += read_until(master, "calibrated to common practice", 10.0)
        text += read_until(master, "never", 2.0)
        assert "all rinsed" in text
        assert re.search(r"foils: begun 0:00 \(plan 0:00\), rinsed \d+:\d\d", text)
        assert "Follow the maker's directions" in text
    finally:
        os.close(master)
        _, status = os.waitpid(pid, 0)
    assert os.waitstatus_to_exitcode(status) == 0


def test_what_was_marked_is_told_beside_the_plan(refresh):
    out = io.StringIO()
    console = Console(file=out, width=100, highlight=False)
    keys = [(0.0, " "), (2.0, " ")]
    print_marks(play(refresh, keys), console)
    assert "foils: begun 0:00 (plan 0:00), 1 of 12 on, NOT RINSED" in out.getvalue()
    assert "base: not begun" in out.getvalue()
    whole = [(t, " ") for t in (0, *range(1, 13), 17, 18, 18.4, 18.8, 19.1, 23, 26)]
    print_marks(play(refresh, whole), console)
    text = out.getvalue()
    assert "rinsed 23:00 (plan" in text
    assert "sections 1, 2" in text
    assert "Follow the maker's directions" in text


def test_keys_come_one_at_a_time(monkeypatch):
    """A pseudo-terminal in place of the standard streams; its settings are put back."""
    master, slave = pty.openpty()
    stream = os.fdopen(slave, "r+b", buffering=0)
    terminal = io.TextIOWrapper(stream)
    monkeypatch.setattr("sys.stdin", terminal)
    monkeypatch.setattr("sys.stdout", terminal)
    before = termios.tcgetattr(slave)
    try:
        with Keyboard() as keyboard:
            assert keyboard.read(0.01) == ""
            os.write(master, b"x")
            assert keyboard.read(5.0) == "x"
            assert not termios.tcgetattr(slave)[3] & termios.ICANON
        assert termios.tcgetattr(slave) == before
    finally:
        monkeypatch.undo()
        os.close(master)
        terminal.close()
