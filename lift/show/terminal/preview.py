"""Terminal output: words first, colour patches where the terminal can show them."""

from __future__ import annotations

from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.practice.fibres import GreyLook
from lift.practice.preview import Preview
from lift.practice.time_line import place_at
from lift.practice.why import QUANTITIES, Why, why
from lift.quantities import described
from lift.show.said import (
    level_note,
    risk_note,
    tone_note,
    underpigment_note,
    warmth_note,
    why_note,
    window_note,
)
from lift.show.terminal.foot import console, facts, patch, print_foot
from lift.words import note, say

BAR = 48
MARKS = {"not_lifted": ".", "inside": "=", "too_warm": "!", "too_light": "!", "past_limit": "#"}
NOW = "^"
_PARTS = ("of_head", "unmeasured", "whole")


def print_preview(result: Preview, to: Console | None = None, *, take_apart: bool = False) -> None:
    """Print a preview for the chair; `take_apart` says more of how wide the bands are."""
    to = to or console()
    parts = why(result)
    lab, limit = result.band_at("lab"), result.window.target.warmth_limit
    to.print(
        say(
            "preview.head",
            kind=result.mixture.kind,
            volume=result.mixture.developer_volume,
            hair=described(result.hair),
            minutes=result.minutes,
        )
    )
    grey = result.grey
    risky = Text(say(risk_note(result)), style="bold")
    table = facts()
    bar, key = time_bar(result)
    lines: tuple[tuple[str, str | Text], ...] = (
        ("colour", _band_line(lab, to)),
        *([] if grey is None else _fibres(result, grey, to)),
        ("level", say(level_note(result))),
        ("underpigment", say(underpigment_note(result))),
        ("warmth", say(warmth_note(result))),
        *([] if grey is None else [("blend", say(grey.blend_note(limit)))]),
        ("why", say(why_note(parts))),
        ("risk", risky),
        ("window", say(window_note(result.window))),
        ("", bar),
        ("", key),
        ("tone", say(tone_note(result.tone))),
    )
    for name, value in lines:
        table.add_row(say(f"preview.{name}.label") if name else "", value)
    to.print(table)
    if take_apart:
        print_why(parts, to)
    for line in result.advice:
        to.print(say("preview.try", advice=line.note))
    print_foot(to, result.cautions, result.curves)


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


def time_bar(result: Preview) -> tuple[str, str]:
    """Time line of the expected strand, a mark a moment, and what its marks mean."""
    window = result.window
    end = max(window.limit_minutes, result.minutes)
    spans, times = window.spans(end), np.linspace(0.0, end, BAR)
    marks = [MARKS[place_at(spans, t)] for t in times]
    marks[int(np.argmin(np.abs(times - result.minutes)))] = NOW
    key = [say("preview.bar.place", mark=MARKS[s.place], place=s.place) for s in spans]
    bar = say("preview.bar", marks="".join(marks), end=end)
    return bar, "   ".join([*key, say("preview.bar.now", mark=NOW)])
