"""Terminal output: words first, colour patches where the terminal can show them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.optics.colorimetry import lab_to_srgb, srgb_to_hex
from lift.practice.preview import Preview
from lift.practice.stage_table import StageTable
from lift.practice.tone import ToneDirection

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


def risk_words(probability: float) -> str:
    """Risk in words, from the probability of being too warm."""
    if probability < 0.1:
        return "LOW RISK"
    if probability < 0.35:
        return "WATCH"
    return "HIGH RISK" if probability < 0.75 else "TOO WARM"


def chance(probability: float) -> str:
    """Probability as a count, which people judge better than a fraction."""
    if probability < 0.005:
        return "fewer than 1 in 100"
    if probability > 0.995:
        return "more than 99 in 100"
    return f"{100 * probability:.0f} in 100"


def print_preview(result: Preview, to: Console | None = None) -> None:
    """Print a preview for the chair."""
    to = to or console()
    hair, mixture, window = result.hair, result.mixture, result.window
    central = result.drawn.central
    lab_low, lab, lab_high = result.band_at("lab")
    level_low, level, level_high = result.band_at("level")
    _, lift, _ = result.band_at("lift")
    warm_low, warm, warm_high = result.band_at("warmth")
    history = "" if hair.lightened_to is None else f", lightened before to {hair.lightened_to:g}"
    to.print(
        f"[bold]{mixture.kind}, {mixture.developer_volume:g} vol[/] on natural level {hair.level:g}"
        f"{history}, {hair.fibre_um:g} um{', damp' if hair.damp else ''}"
        f" \u2014 after [bold]{result.minutes:g} min[/]"
    )
    table = facts()
    colour = patch(lab, 6, to)
    colour.append(
        "  ".join(
            f"{n} {v:.0f} ({lo:.0f} to {hi:.0f})"
            for n, v, lo, hi in zip(("L*", "a*", "b*"), lab, lab_low, lab_high, strict=True)
        )
    )
    table.add_row("Colour", colour)
    table.add_row(
        "Level", f"{level:.1f} ({level_low:.1f} to {level_high:.1f}), lift {lift:.1f} levels"
    )
    table.add_row("Underpigment", f"{result.stage}, hue {central.hue_deg[-1]:.0f} degrees")
    table.add_row(
        "Warmth",
        f"{warm:+.1f} dC* ({warm_low:+.1f} to {warm_high:+.1f}); "
        f"limit {window.target.warmth_limit:+.1f}",
    )
    p = result.p_too_warm
    table.add_row("Too warm?", Text(f"{risk_words(p)}: {chance(p)}", style="bold"))
    table.add_row("Window", window_words(result))
    table.add_row("", _bar(result))
    table.add_row("", "= inside   ! too warm   ^ now   > now, past the limit")
    table.add_row("Tone", tone_words(result.tone))
    to.print(table)
    for line in result.advice:
        to.print(f"  Try: {line.text}")
    print_foot(to, result.cautions, result.curves.name, result.curves.standing)


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


def tone_words(tone: ToneDirection) -> str:
    """Tone direction in words."""
    if not tone.needed:
        return f"none needed (difference {tone.amount:.1f}, below what is noticed)"
    return (
        f"{tone.wheel} answers {tone.excess_wheel}; amount {tone.amount:.1f}, "
        f"CIELAB {tone.hue_deg:.0f} degrees, Munsell {tone.munsell}"
    )


def window_words(result: Preview) -> str:
    """Window, and the best time in it, in words."""
    window = result.window
    if window.opens is None or window.closes is None:
        reached = "not reached" if window.reached_at is None else f"at {window.reached_at:.1f} min"
        warm = "never" if window.too_warm_at is None else f"from {window.too_warm_at:.1f} min"
        return f"NO WINDOW: {window.target.words} {reached}, too warm {warm}"
    end = "time limit" if window.closes_by == "time limit" else "then too warm"
    late = ""
    if np.isfinite(window.closes_range[0]):
        low, high = (f"{t:.1f}" if np.isfinite(t) else "later" for t in window.closes_range)
        late = f" ({low} to {high})"
    return (
        f"{window.opens:.1f} to {window.closes:.1f} min{late}, {end}; "
        f"best {window.best_minutes:.1f} min: {chance(window.p_best)} inside"
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
    return f"0 {''.join(marks)} {times[-1]:.0f} min"


def print_foot(to: Console, cautions: tuple[str, ...], name: str, status: str) -> None:
    """Print the cautions and what the figures rest on."""
    for line in cautions:
        to.print(f"  ! {line}", style="dim" if to.color_system else "", markup=False)
    foot = f"Curve set {name}: {status}."
    to.print(foot, style="dim" if to.color_system else "", markup=False)
