"""Terminal output: words first, colour patches where the terminal can show them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.practice.fibres import GreyLook
from lift.practice.preview import Preview
from lift.practice.time_line import place_at
from lift.practice.why import QUANTITIES, Why, why
from lift.practice.window import Window
from lift.quantities import described
from lift.show.said import (
    first_notes,
    level_note,
    passage_notes,
    side_note,
    underpigment_note,
    warmth_note,
    why_note,
    window_note,
)
from lift.show.terminal.foot import console, facts, patch, print_first, print_foot
from lift.words import note, say

BAR = 48
MARKS = {"not_lifted": ".", "inside": "=", "too_warm": "!", "too_light": "!", "past_limit": "#"}
NOW = "^"
_PARTS = ("of_head", "unmeasured", "whole")


def print_preview(
    result: Preview,
    to: Console | None = None,
    *,
    take_apart: bool = False,
    brief: bool = False,
) -> None:
    """Print a preview for the chair: what to do first, then the numbers, unless it is to be brief.

    `take_apart` says more of how wide the bands are.
    """
    to = to or console()
    to.print(
        say(
            "preview.head",
            kind=result.mixture.kind,
            volume=result.mixture.developer_volume,
            hair=described(result.hair),
            minutes=result.minutes,
        )
    )
    print_first(to, first_notes(result))
    if brief:
        print_foot(to, result.cautions, brief=True)
        return
    to.print()
    parts = why(result)
    table = facts()
    for label, value in _numbers(result, parts, to):
        table.add_row(label, value)
    to.print(table)
    if result.passages:
        print_passages(result, to)
    if take_apart:
        print_why(parts, to)
    for each in result.advice:
        to.print(say("preview.try", advice=each.note))
    print_foot(to, result.cautions, result.curves)


def _numbers(result: Preview, parts: Why, to: Console) -> Iterator[tuple[str, str | Text]]:
    """Numbers behind the first lines, each with its label."""

    def row(name: str, value: str | Text) -> tuple[str, str | Text]:
        return say(f"preview.{name}.label"), value

    grey, limit = result.grey, result.warmth_limit
    yield row("colour", _band_line(result.band_at("lab"), to))
    if grey is not None:
        for kind, line in _fibres(result, grey, to):
            yield row(kind, line)
    yield row("level", say(level_note(result)))
    yield row("underpigment", say(underpigment_note(result)))
    yield row("warmth", say(warmth_note(result)))
    if grey is not None:
        yield row("blend", say(grey.blend_note(limit)))
    yield row("why", say(why_note(parts)))
    if (side := side_note(result)) is not None:
        bare = "" if result.target is not None and result.target.toned else ".bare"
        yield say(f"preview.side.label{bare}"), say(side)
    if result.window is not None:
        yield row("window", say(window_note(result.window)))
        yield from (("", line) for line in time_bar(result.window, result.minutes))
    if result.toned is not None:
        yield row("tone", say(result.wheel_and_dye.words))
        if (why := result.wheel_and_dye.why) is not None:
            yield "", say(why)


def print_passages(result: Preview, to: Console) -> None:
    """Print the levels that lightening passes: when, how surely, what tones them, and to what."""
    columns = ("level", "stage", "from", "between", "reached", "toner", "after")
    table = Table(box=None, padding=(0, 2, 0, 0))
    for name in columns:
        table.add_column(say(f"preview.passes.{name}"))
    for each in result.passages:
        said = passage_notes(each)
        table.add_row(*(say(said[name]) for name in columns))
    to.print(say("preview.passes.title", limit=result.limit_minutes))
    to.print(table)


def _band_line(lab: Any, to: Console, more: str = "") -> Text:
    """Patch of a colour and its band, CIELAB of low end, median and high end."""
    line = patch(lab[1], 6, to)
    axes = zip(("L*", "a*", "b*"), *lab, strict=True)
    said = (say("preview.axis", axis=n, low=lo, median=v, high=hi) for n, lo, v, hi in axes)
    line.append("  ".join(said) + more)
    return line


def _fibres(result: Preview, grey: GreyLook, to: Console) -> list[tuple[str, Text]]:
    """Both kinds of fibres of grey hair, a row each."""
    pigmented, white = (result.band_at(kind) for kind in ("pigmented", "white"))
    decides = say("fibres.none_left" if grey.all_white else "preview.decide")
    return [
        ("pigmented", _band_line(pigmented, to, decides)),
        ("white", _band_line(white, to, say("preview.white", said=grey.white_note))),
    ]


def print_why(found: Why, to: Console) -> None:
    """Print the bands in parts, and what moves most what nobody measured."""
    table = Table(box=None, padding=(0, 2, 0, 0))
    table.add_column(say("preview.why.title"))
    for column in _PARTS:
        table.add_column(say(f"preview.why.{column}"))
    for name in QUANTITIES:
        ends = [getattr(getattr(found, name), column) for column in _PARTS]
        cells = [say("preview.why.cell", low=low, high=high) for low, high in ends]
        table.add_row(say(f"preview.why.{name}"), *cells)
    to.print(table)
    if found.causes:
        causes = [note("preview.why.cause", name=n, share=s) for n, s in found.causes]
        to.print(say("preview.why.causes", causes=causes))


def time_bar(window: Window, minutes: float) -> tuple[str, str]:
    """Time line of the expected strand, a mark a moment, and what its marks mean."""
    end = max(window.limit_minutes, minutes)
    spans, times = window.spans(end), np.linspace(0.0, end, BAR)
    marks = [MARKS[place_at(spans, t)] for t in times]
    marks[int(np.argmin(np.abs(times - minutes)))] = NOW
    key = [say("preview.bar.place", mark=MARKS[s.place], place=s.place) for s in spans]
    bar = say("preview.bar", marks="".join(marks), end=end)
    return bar, "   ".join([*key, say("preview.bar.now", mark=NOW)])
