"""Terminal output: words first, colour patches where the terminal can show them."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.model.curves import CurveSet
from lift.optics.colorimetry import lab_to_srgb, srgb_to_hex
from lift.practice.preview import Preview
from lift.practice.stage_table import StageTable
from lift.practice.tone import ToneDirection
from lift.practice.window import Window
from lift.quantities import described
from lift.words import Note, note, say

BAR = 48


def console() -> Console:
    """Console on stdout; NO_COLOR, a pipe or a dumb terminal leaves plain words.

    A pipe has no width of its own; lines are then as long as they need to be.
    """
    to = Console(highlight=False)
    return to if to.is_terminal else Console(highlight=False, width=200)


def patch(lab: ArrayLike, width: int, to: Console) -> Text:
    """Block of the colour, or nothing where colour cannot be shown."""
    if to.color_system is None or to.no_color:
        return Text("")
    colour = srgb_to_hex(lab_to_srgb(np.asarray(lab))[0])
    return Text("\u2588" * width + " ", style=str(colour))


def risk(probability: float) -> str:
    """Code of the risk, from the probability of being too warm."""
    if probability < 0.1:
        return "low"
    if probability < 0.35:
        return "watch"
    return "high" if probability < 0.75 else "too_warm"


def risk_note(probability: float) -> Note:
    """Risk in words, with its probability."""
    return note("preview.risk", risk=risk(probability), p=probability)


def level_note(result: Preview) -> Note:
    """Level and lift at the asked time."""
    low, median, high = result.band_at("level")
    return note(
        "preview.level",
        low=float(low),
        median=float(median),
        high=float(high),
        lift=float(result.band_at("lift")[1]),
    )


def underpigment_note(result: Preview) -> Note:
    """Stage and hue of the expected strand."""
    hue = float(result.drawn.central.hue_deg[-1])
    return note("preview.underpigment", stage=result.stage, hue=hue)


def warmth_note(result: Preview) -> Note:
    """Warmth at the asked time, and its limit."""
    low, median, high = map(float, result.band_at("warmth"))
    limit = result.window.target.warmth_limit
    return note("preview.warmth", low=low, median=median, high=high, limit=limit)


def print_preview(result: Preview, to: Console | None = None) -> None:
    """Print a preview for the chair."""
    to = to or console()
    lab = result.band_at("lab")
    to.print(
        say(
            "preview.head",
            kind=result.mixture.kind,
            volume=result.mixture.developer_volume,
            hair=described(result.hair),
            minutes=result.minutes,
        )
    )
    colour = patch(lab[1], 6, to)
    axes = zip(("L*", "a*", "b*"), *lab, strict=True)
    colour.append(
        "  ".join(say("preview.axis", axis=n, low=lo, median=v, high=hi) for n, lo, v, hi in axes)
    )
    risky = Text(say(risk_note(result.p_too_warm)), style="bold")
    table = facts()
    for name, value in (
        ("colour", colour),
        ("level", say(level_note(result))),
        ("underpigment", say(underpigment_note(result))),
        ("warmth", say(warmth_note(result))),
        ("risk", risky),
        ("window", say(window_note(result.window))),
        ("", _bar(result)),
        ("", say("preview.bar_key")),
        ("tone", say(tone_note(result.tone))),
    ):
        table.add_row(say(f"preview.{name}.label") if name else "", value)
    to.print(table)
    for line in result.advice:
        to.print(say("preview.try", advice=line.note))
    print_foot(to, result.cautions, result.curves)


def print_stages(table: StageTable, to: Console | None = None) -> None:
    """Print the table of levels."""
    to = to or console()
    grid = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head, side in (
        ("Level", "right"),
        ("Natural", "left"),
        ("Underpigment", "left"),
        ("Stage", "left"),
        ("Warmth", "right"),
        ("Answer", "left"),
    ):
        grid.add_column(head, justify=side, no_wrap=True)  # type: ignore[arg-type]
    for i, stage in enumerate(table.stages):
        natural = patch(table.natural[i], 2, to)
        natural.append("{:.0f} {:.0f} {:.0f}".format(*table.natural[i]))
        under = patch(table.underpigment[i], 2, to)
        under.append("{:.0f} {:.0f} {:.0f}".format(*table.underpigment[i]))
        tone = table.tone[i]
        answer = f"{tone.wheel}, {tone.hue_deg:.0f}" if tone.needed else "none yet"
        grid.add_row(
            f"{table.levels[i]:.0f}", natural, under, stage, f"{table.warmth[i]:+.1f}", answer
        )
    to.print(grid)
    to.print("Natural, Underpigment: L* a* b*; underpigment is deep black hair lightened so far.")
    to.print("Answer: painter's wheel family, CIELAB hue of the change in degrees.")
    print_foot(to, table.to_dict()["cautions"], table.curves.name, table.curves.standing)


def facts() -> Table:
    """Empty table of a bold name and what goes with it."""
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(style="bold", no_wrap=True)
    table.add_column()
    return table


def tone_note(tone: ToneDirection) -> Note:
    """Tone direction in words."""
    if not tone.needed:
        return note("tone.none_needed", amount=float(tone.amount))
    return note(
        "tone.answer",
        wheel=str(tone.wheel),
        excess=str(tone.excess_wheel),
        amount=float(tone.amount),
        hue=float(tone.hue_deg),
        munsell=str(tone.munsell),
    )


def window_note(window: Window) -> Note:
    """Window, and the best time in it, in words."""
    if window.opens is None or window.closes is None:
        reached, warm = window.reached_at, window.too_warm_at
        return note(
            "window.none",
            goal=window.target.name,
            reached=note("window.not_reached")
            if reached is None
            else note("window.reached", minutes=reached),
            warm=note("window.never_warm")
            if warm is None
            else note("window.warm_from", minutes=warm),
        )
    late: Note | str = ""
    if np.isfinite(window.closes_range[0]):
        low, high = (
            note("window.time", minutes=t) if np.isfinite(t) else note("window.later")
            for t in window.closes_range
        )
        late = note("window.late", low=low, high=high)
    ends = "window.ends_limit" if window.closes_by == "time limit" else "window.ends_warm"
    return note(
        "window.between",
        opens=window.opens,
        closes=window.closes,
        late=late,
        end=note(ends),
        best=window.best_minutes,
        p=window.p_best,
    )


def _bar(result: Preview) -> str:
    """Time line of the expected strand: . before, = inside, ! too warm, ^ now, > now past it."""
    window = result.window
    times = np.linspace(0.0, window.limit_minutes, BAR)
    opens = np.inf if window.opens is None else window.opens
    warm = np.inf if window.too_warm_at is None else window.too_warm_at
    marks = np.where(times >= warm, "!", np.where(times >= opens, "=", "."))
    late = result.minutes > window.limit_minutes
    marks[np.argmin(np.abs(times - result.minutes))] = ">" if late else "^"
    return say("preview.bar", marks="".join(marks), end=times[-1])


def print_foot(
    to: Console, cautions: Iterable[Note], curves: CurveSet | str, standing: object = ""
) -> None:
    """Print the cautions and what the figures rest on."""
    for each in cautions:
        line = say("terminal.caution", caution=each)
        to.print(line, style="dim" if to.color_system else "", markup=False)
    if isinstance(curves, str):
        foot = say("standing.line", name=curves, standing=standing)
    else:
        foot = say("standing.line", name=curves.name, standing=curves.standing)
    to.print(foot, style="dim" if to.color_system else "", markup=False)


# These go when every room says its notes itself.


def chance(probability: float) -> str:
    """Probability as a count."""
    return say("chance", p=probability)


def risk_words(probability: float) -> str:
    """Risk in words."""
    return say(f"risk.{risk(probability)}")


def tone_words(tone: ToneDirection) -> str:
    """Tone direction in words."""
    return say(tone_note(tone))


def window_words(result: Preview) -> str:
    """Window in words."""
    return say(window_note(result.window))
