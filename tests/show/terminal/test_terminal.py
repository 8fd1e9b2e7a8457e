"""Terminal output: words first, colour where it can be shown."""

import io
import re
from types import SimpleNamespace

import numpy as np
import pytest
from rich.console import Console
from rich.style import Style

from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS, UNMIXED
from lift.practice.goal import Blend, Lighten
from lift.practice.preview import preview
from lift.practice.stage_table import stage_table
from lift.practice.toning.tone_report import tone_report, underpigment_state
from lift.show.said import risk, risk_note, window_note
from lift.show.terminal.foot import console, patch
from lift.show.terminal.preview import BAR, print_preview
from lift.show.terminal.stages import print_stages
from lift.words import note, plainly, say

CURVES = default_curves()
HAIR, BASE_BREAK = Hair(7.0, "fine", damp=True), Mixture("base-break", 10.0)
ESCAPE = "\x1b["


def plain():
    return Console(file=io.StringIO(), width=200, highlight=False)


def colourful(no_color=False):
    # rich keeps a style with the codes of the first terminal it was printed on, in both caches.
    Style.parse.cache_clear()
    Style._add.cache_clear()
    # Said outright, so that NO_COLOR where the tests run changes nothing.
    return Console(
        file=io.StringIO(),
        width=200,
        highlight=False,
        force_terminal=True,
        color_system="truecolor",
        no_color=no_color,
    )


def printed(show, thing, to=None):
    to = to or plain()
    show(thing, to)
    return to.file.getvalue()


@pytest.fixture(scope="module")
def result():
    return preview(HAIR, BASE_BREAK, 5.0)


def test_a_pipe_gets_plain_words(result):
    text = printed(print_preview, result)
    assert ESCAPE not in text
    assert "\u2588" not in text
    for word in (
        "Colour",
        "Level",
        "Underpigment",
        "Warmth",
        "Mix",
        "Rinse",
        "Then tone",
        "Risk",
        "Window",
    ):
        assert any(line.startswith(word) for line in text.splitlines())


def test_a_terminal_gets_patches_of_the_colour(result):
    text = printed(print_preview, result, colourful())
    assert "\u2588" * 6 in text
    # Brown: red above green above blue.
    red, green, blue = (int(c) for c in re.search(r"38;2;(\d+);(\d+);(\d+)m", text).groups())
    assert red > green > blue > 20


@pytest.mark.parametrize("to", [colourful(no_color=True), plain()])
def test_patches_only_where_colour_shows(to):
    assert patch([50.0, 8.0, 20.0], 6, to).plain == ""
    assert patch([50.0, 8.0, 20.0], 3, colourful()).plain == "\u2588" * 3 + " "


def test_console_of_a_pipe_is_wide_and_has_no_colour(monkeypatch, capsys):
    monkeypatch.setenv("NO_COLOR", "1")
    to = console()
    assert to.width == 200
    assert to.color_system is None
    to.print("word " * 30)
    assert capsys.readouterr().out.count("\n") == 1


def test_console_of_a_terminal(monkeypatch):
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLUMNS", "70")
    monkeypatch.delenv("NO_COLOR", raising=False)
    to = console()
    assert to.is_terminal
    assert to.width == 70
    assert to.color_system is not None
    monkeypatch.setenv("NO_COLOR", "1")
    assert console().no_color


def test_dumb_terminal_gets_no_patches(monkeypatch):
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TERM", "dumb")
    assert patch([50.0, 8.0, 20.0], 6, console()).plain == ""


def test_cautions_and_standing_are_always_there(result):
    for shown, cautions in (
        (printed(print_preview, result), ALWAYS),
        (printed(print_stages, stage_table(CURVES)), UNMIXED),
    ):
        text = "\n".join(line.rstrip() for line in shown.splitlines())
        assert "\n\n" + "\n".join(f"  ! {said}" for said in cautions) + "\n" in text
        assert text.rstrip().endswith(
            "Curve set default: calibrated to common practice, not measured."
        )


def test_preview_says_what_was_asked_and_found(result):
    text = printed(print_preview, result)
    assert text.startswith("base-break, 10 vol on natural level 7, 50 um, damp")
    assert "after 5 min" in text
    assert f"{result.window.opens:.1f} to {result.window.closes:.1f} min" in text
    assert say(risk_note(result)) in text
    assert result.stage in text
    assert say(result.wheel_and_dye.short) in text
    assert f"limit {result.window.target.warmth_limit:+.1f}" in text
    for advice in result.advice:
        assert f"  Try: {advice.note}" in text


def test_history_is_named():
    text = printed(
        print_preview,
        preview(Hair(5.0, lightened_to=7.0), Mixture("powder", ((10, 1), (20, 1))), 3.0),
    )
    assert "powder, 15 vol on natural level 5, 70 um, lightened before to 7" in text
    assert "Persulfate" in text


def test_time_line(result):
    bar = next(line for line in printed(print_preview, result).splitlines() if "15 min" in line)
    marks = re.search(r"0 (\S+) 15 min", bar)[1]
    assert len(marks) == BAR
    assert marks.count("^") == 1
    times = np.linspace(0.0, 15.0, BAR)
    for mark, time in zip(marks, times, strict=True):
        if mark == "!":
            assert time >= result.window.closes
        elif mark == "=":
            assert result.window.opens <= time < result.window.closes
        elif mark == ".":
            assert time < result.window.opens
    assert abs(times[marks.index("^")] - 5.0) <= 15.0 / (BAR - 1) / 2


def test_time_line_past_the_limit():
    goal = Blend(warmth=30.0)
    late = preview(Hair(5.0), Mixture("cream", 10.0), 55.0, goal, limit_minutes=40.0)
    text = printed(print_preview, late)
    assert re.search(r"0 \.+=+#+\^ 55 min", text)
    assert ". not lifted enough   = inside   # past the limit   ^ now" in text
    assert f"{late.window.opens:.1f} to 40.0 min on the expected strand, time limit" in text


def test_windows_in_words(result):
    sure = preview(HAIR.replace(damp=False), BASE_BREAK.replace(volume=20.0), 5.0)
    low, high = sure.window.closes_range
    words = f"then too warm; on nine strands in ten it closes between {low:.1f} and {high:.1f}"
    assert words in say(window_note(sure.window))
    none = preview(Hair(7.0), Mixture("cream", 0.0), 5.0, Blend())
    assert say(window_note(none.window)) == (
        "NO WINDOW: a natural blend not reached, too warm never"
    )
    missed = preview(Hair(5.0), Mixture("powder", 20.0), 5.0, Lighten(8.0, warmth=3.0))
    assert re.fullmatch(
        r"NO WINDOW: level 8, no warmer than \+3 dC\* at \d+\.\d min, too warm from \d+\.\d min",
        say(window_note(missed.window)),
    )
    # Some strands are never too warm, though the expected one is.
    assert re.search(r"between \d+\.\d and later", say(window_note(result.window)))
    # Where the expected strand is never too warm some may be, and are named.
    few = preview(HAIR, BASE_BREAK.replace(tone={"violet": 2.0}), 5.0)
    assert re.search(r"time limit; .* between \d+\.\d and later", say(window_note(few.window)))


@pytest.mark.parametrize(
    ("probability", "words", "count"),
    [
        (0.0, "LOW RISK", "fewer than 1 in 100"),
        (0.0049, "LOW RISK", "fewer than 1 in 100"),
        (0.0999, "LOW RISK", "10 in 100"),
        (0.1, "WATCH", "10 in 100"),
        (0.349, "WATCH", "35 in 100"),
        (0.35, "HIGH RISK", "35 in 100"),
        (0.749, "HIGH RISK", "75 in 100"),
        (0.75, "TOO WARM", "75 in 100"),
        (0.995, "TOO WARM", "100 in 100"),
        (1.0, "TOO WARM", "more than 99 in 100"),
    ],
)
def test_risk(probability, words, count):
    held = SimpleNamespace(
        target=SimpleNamespace(wanted=None),
        places={"too_light": 0.0},
        p_too_warm=probability,
        can_be_inside=True,
        edges=(),
        extrapolates=(),
        band_at=lambda _: (7.0, 8.0, 9.0),
    )
    assert say(f"risk.{risk(held)}") == words
    assert say("chance", p=probability) == count
    # Where the numbers do not hold nothing is called a low risk, and nothing else is called less.
    for shaky in (
        {"can_be_inside": False},
        {"edges": (note("text", text=""),)},
        {"extrapolates": (note("text", text=""),)},
        {"band_at": lambda _: (9.0, 10.2, 12.0)},
    ):
        other = say(f"risk.{risk(SimpleNamespace(**vars(held) | shaky))}")
        missed = "GOAL MISSED" if "can_be_inside" in shaky else "NOT SURE"
        assert other == (missed if words == "LOW RISK" else words)


def test_tone_in_words():
    """The wheel's answer never stands beside another dye without the reason."""
    orange = tone_report(underpigment_state(6.0, CURVES)).wheel_and_dye
    assert say(orange.words) == (
        "orange is too much, by 16.2; the way back is CIELAB 238 degrees, Munsell 7.5B. The wheel "
        "says blue, but blue-violet does it on this hair"
    )
    assert "turns it green before the warmth is gone" in say(orange.why)
    assert say(orange.short) == (
        "blue-violet does it on this hair; the wheel's blue alone turns it green"
    )
    with plainly():
        assert not any(letter.isdigit() for letter in say(orange.words) + say(orange.why))
    natural = tone_report([45.0, 7.1, 17.6]).wheel_and_dye
    assert say(natural.words).startswith("none needed (difference 0.")
    assert natural.why is None


def test_stages():
    text = printed(print_stages, stage_table(CURVES))
    head, *rows = text.splitlines()[:11]
    assert head.split() == [
        *("Level", "Natural", "Underpigment", "Stage", "Warmth"),
        *("Wheel", "says", "That", "dye", "alone", "What", "does", "it"),
    ]
    assert [row.split()[0] for row in rows] == [str(n) for n in range(1, 11)]
    assert rows[0].rstrip().endswith("none yet")
    for row, stage, answer in ((5, "orange", "blue,"), (7, "yellow", "violet,")):
        assert stage in rows[row].split()
        assert answer in rows[row].split()
    assert printed(print_stages, stage_table(CURVES), colourful()).count("\u2588\u2588 ") == 20


def test_without_a_console_it_goes_to_stdout(result, capsys):
    print_preview(result)
    print_stages(stage_table(CURVES))
    out = capsys.readouterr().out
    assert "base-break" in out
    assert "palest yellow" in out
