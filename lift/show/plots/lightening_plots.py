"""Pictures of lightening: how hair leaves the natural path, what drives it, and when it is late."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_range
from lift.model.curves import CurveSet
from lift.model.domain import longest_minutes
from lift.model.ensemble import check_one_strand
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import simulate
from lift.optics.colorimetry import NOTICEABLE
from lift.optics.pigments import exponential_shape
from lift.practice.goal import Goal
from lift.practice.time_line import Span
from lift.practice.window import Window, find_window
from lift.quantities import MINUTES, PROCESSED
from lift.show import style
from lift.show.plots.figure import OWN, SHIPPED, ab, beside, lab_note, lettered, on_scale, picture
from lift.show.plots.lock import draw_levels, draw_marks, draw_strip, plot_lock
from lift.show.plots.preview_plots import plot_strip
from lift.show.plots.spans import LOOKS, draw_spans, place_key
from lift.words import LAST_LEVEL, Note, note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Case = tuple[str, Hair, Mixture]
"""A name for the reader, a strand and what lies on it."""

BLUE_NM = 450.0
REMAINING = (
    ("eumelanin", style.INK, ""),
    ("half_oxidised", style.WARM, "//"),
    ("pheomelanin", "#e8b96b", ".."),
)
MARKERS = "osD^v"
LINE_OF_WORDS = 2.0
"""Height of a line of words in the a*b* plane [CIELAB units]."""

MUCH_PHEOMELANIN = 0.17
"""Upper end of 11 to 17 % in black to brown hair (2018, doi 10.1111/pcmr.12673; abstract read)."""


@picture(9.0, 4.6, style.CLASSROOM)
def plot_remaining(
    hair: Hair, mixture: Mixture, minutes: float = 60.0, curves: CurveSet = SHIPPED,
    axes: Axes = OWN,
) -> Axes:  # fmt: skip
    """What is left in the fibre to take blue light, by pigment, over 0 to `minutes` [min].

    Examples
    --------
    >>> import lift
    >>> lift.teach.plot_remaining(lift.Hair(level=5), lift.Mixture("cream", 30)).get_xlabel()
    'processing time [min]'
    """
    check_one_strand(hair, mixture)
    minutes = min(PROCESSED.number(minutes), longest_minutes(mixture, curves))
    time = np.linspace(0.0, minutes, 121)
    pigment = simulate(hair, mixture, time, curves).pigment
    parts = [
        np.broadcast_to(getattr(pigment, name), time.shape)
        * exponential_shape(BLUE_NM, curves.values[f"{name}_slope"])
        for name, *_ in REMAINING
    ]
    warm = 100.0 * (1.0 - parts[0] / np.sum(parts, axis=0))
    labels = [say(f"plot.remaining.{name}") for name, *_ in REMAINING]
    for band, (_, colour, hatch) in zip(
        axes.stackplot(time, *parts, labels=labels), REMAINING, strict=True
    ):
        band.set(facecolor=colour, hatch=hatch, edgecolor=style.INK, linewidth=0.8)
    axes.set_xlim(0, minutes)
    axes.grid(visible=False)
    axes.legend(loc="upper right")
    numbers = {"first": warm[0], "last": warm[-1], "minutes": minutes}
    left = [100.0 * part[-1] / part[0] if part[0] else 0.0 for part in (parts[0], parts[2])]
    alt = note("alt.remaining", **numbers, eumelanin=left[0], pheomelanin=left[1])
    absorbed = note("plot.remaining.absorption", nm=BLUE_NM)
    return lettered(axes, note("plot.remaining", **numbers), "axis.minutes", absorbed, alt=alt)


@picture(9.0, 6.0, style.CLASSROOM)
def plot_departure(
    hair: Hair, mixture: Mixture, minutes: float = 40.0, curves: CurveSet = SHIPPED,
    axes: Axes = OWN,
) -> Axes:  # fmt: skip
    """Path of a strand over 0 to `minutes` [min] as it leaves natural hair in the a*b* plane.

    Examples
    --------
    >>> import lift
    >>> lift.teach.plot_departure(lift.Hair(level=5), lift.Mixture("cream", 30)).get_xlabel()
    'a* (towards red)'
    """
    check_one_strand(hair, mixture)
    natural_backdrop(curves, axes)
    minutes = min(PROCESSED.number(minutes), longest_minutes(mixture, curves))
    strand = simulate(hair, mixture, np.linspace(0.0, minutes, 81), curves)
    axes.plot(*ab(strand.pigmented), color=style.INK, zorder=2)
    marks = strand.pigmented[::20]
    draw_marks(axes, ab(marks), marks, size=420.0)
    _name_times(axes, strand.minutes[::20], marks)
    now = strand.pigmented[-1]
    twin = natural_path(curves).lab_of_lightness(now[0])
    axes.plot(*ab(np.stack([twin, now])), ":", color=style.WARM, zorder=3)
    look: Any = {"edgecolors": style.WARM, "linewidths": 2, "zorder": 5}
    draw_marks(axes, ab(twin), twin, "D", 260.0, **look)
    for left, lab, label in (
        (0.6, twin, note("plot.departure.twin")),
        (0.8, now, note("plot.departure.now", minutes=minutes)),
    ):
        plot_lock(lab, axes.inset_axes((left, 0.2, 0.17, 0.6)), label=say(label))
    numbers = {"minutes": minutes, "warmth": float(strand.warmth[-1])}
    alt = note("alt.departure", start=lab_note(strand.pigmented[0]), now=lab_note(now),
               twin=lab_note(twin), **numbers)  # fmt: skip
    return lettered(axes, note("plot.departure", **numbers), alt=alt)


def _name_times(axes: Axes, minutes: Floats, marks: Floats) -> None:
    """Write the times [min] beside marks, CIELAB of shape (n, 3), of which late ones lie close.

    From the last one on, which goes to the left where the path turns back: each is named there
    where its words have room, or most of it.
    """
    taken: dict[str, list[float]] = {"right": [], "left": []}
    first = "left" if marks[-1, 1] < marks[-2, 1] else "right"
    for at, lab in zip(minutes[::-1], marks[::-1], strict=True):
        room = {s: min((abs(lab[2] - b) for b in taken[s]), default=np.inf) for s in taken}
        best = max(room, key=room.__getitem__)
        side = first if not any(taken.values()) else "right"
        side = side if room[side] >= LINE_OF_WORDS else best
        taken[side].append(float(lab[2]))
        away, aside = (16, "left") if side == "right" else (-16, "right")
        beside(axes, say("plot.minutes", minutes=at), ab(lab), (away, -5), ha=aside)


def natural_backdrop(curves: CurveSet, axes: Axes) -> None:
    """The a*b* plane with natural hair of levels 1 to 10 in its colours."""
    lab = natural_path(curves).lab_of_level(np.arange(1.0, 11.0))
    axes.plot(*ab(lab), "--", color=style.SOFT, lw=1.8, zorder=1)
    draw_marks(axes, ab(lab), lab, "s", zorder=1.6)  # over the grid
    for level, aside, away in ((1, "left", 10), (3, "left", 10), (10, "right", -10)):
        said, at = say("plot.natural_level", level=level), ab(lab[level - 1])
        beside(axes, said, at, (away, -4), ha=aside, color=style.SOFT, fontsize="small")
    axes.set_aspect("equal", adjustable="box")
    axes.set(xlim=(-8, 49), ylim=(-4, 38))
    lettered(axes, x="axis.a", y="axis.b")


@picture(9.0, 4.6, style.CLASSROOM)
def plot_causes(
    hair: Hair, mixture: Mixture, minutes: float = 40.0, curves: CurveSet = SHIPPED,
    axes: Axes = OWN,
) -> Axes:  # fmt: skip
    """Warmth over 0 to `minutes` [min] as the model has it, and with its causes taken away.

    Examples
    --------
    >>> import lift
    >>> len(lift.teach.plot_causes(lift.Hair(level=5), lift.Mixture("cream", 30)).get_lines())
    3
    """
    check_one_strand(hair, mixture)
    without = curves.replace(half_oxidised_yield=0.0)
    redder = without.replace(pheomelanin_share=MUCH_PHEOMELANIN)
    minutes = min(PROCESSED.number(minutes), longest_minutes(mixture, curves))
    time = np.linspace(0.0, minutes, 121)
    ends = []
    for code, variant, line in (
        ("model", curves, "-"), ("redder", redder, "-."), ("without", without, "--")
    ):  # fmt: skip
        warmth = simulate(hair, mixture, time, variant).warmth
        ends.append(float(warmth[-1]))
        said = say(f"plot.causes.{code}", percent=100 * MUCH_PHEOMELANIN)
        axes.plot(time, warmth, line, color=style.INK, lw=3, label=said)
    axes.set(xlim=(0, minutes), ylim=(-0.5, 1.15 * max(ends)))
    axes.legend(loc="upper left")
    numbers = {"model": ends[0], "redder": ends[1], "without": ends[2], "minutes": minutes}
    alt = note("alt.causes", **numbers)
    return lettered(axes, note("plot.causes", **numbers), "axis.minutes", "axis.warmth", alt=alt)


@picture(9.0, 5.0, style.CLASSROOM)
def plot_phases(
    hair: Hair, mixture: Mixture, goal: Goal | None = None, minutes: float = 30.0,
    curves: CurveSet = SHIPPED, axes: Axes = OWN,
) -> Axes:  # fmt: skip
    """Warmth against time: the cool phase, the window and what lies past it.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    goal : Goal, optional
        Default: to stay natural.
    minutes : float
        Processing time at the right edge [min]; the end of the mixture's domain when that is
        earlier.

    Examples
    --------
    >>> import lift
    >>> axes = lift.teach.plot_phases(lift.Hair(level=6), lift.Mixture("cream", 20))
    >>> "too warm for a natural blend" in axes.get_title(loc="left")
    True
    """
    minutes = min(PROCESSED.number(minutes), longest_minutes(mixture, curves))
    window = find_window(hair, mixture, goal, curves, members=2, limit_minutes=minutes)
    strand = simulate(hair, mixture, np.linspace(0.0, minutes, 241), curves)
    limit = window.target.warmth_limit
    axes.plot(strand.minutes, strand.warmth, color=style.INK, lw=3)
    # Where no warmth is too much the bars stand above the whole curve.
    high = max(float(strand.warmth.max()), 1.0)
    top, said = 1.75 * high, ""
    if np.isfinite(limit):
        axes.axhline(limit, color=style.WARM, ls="--")
        said = say("plot.phases.limit", limit=limit)
        axes.text(minutes, limit, said, color=style.WARM, ha="right", va="bottom")
        top = max(1.35 * high, 1.6 * limit)
    axes.set(xlim=(0, minutes), ylim=(min(-0.5, float(strand.warmth.min())), top))
    noticed = float(np.interp(NOTICEABLE, strand.warmth, strand.minutes, right=minutes))
    # The last place on top: it stands over the high end of the curve.
    rows = [(f"place.{s.place}", s) for s in reversed(window.spans(minutes))]
    rows.append(("plot.phases.cool", Span("cool", 0.0, noticed)))
    for i, (code, span) in enumerate(rows):
        _phase(axes, (0.89 - 0.09 * i) * top, code, span)
    strip = axes.inset_axes((0.0, 0.93, 1.0, 0.07))
    plot_strip(strand.minutes, strand.pigmented, strip, curves=curves)
    strip.set(xticks=[], title="")
    alt = note("alt.phases", minutes=minutes, limit=f", {said}" if said else "", noticed=noticed,
               warmth=float(strand.warmth[-1]), goal=window.target.name)  # fmt: skip
    title = _phase_title(window, minutes)
    return lettered(axes, title, "axis.minutes", "axis.warmth", alt=alt)


def _phase(axes: Axes, y: float, code: str, span: Span) -> None:
    """A bar with its name, on it where it is long, else behind it, at the right edge before it."""
    cool: Any = {"facecolor": style.COOL, "edgecolor": style.COOL, "alpha": 0.35}
    look = cool if span.place == "cool" else LOOKS[span.place]
    (low, high), ends = axes.get_xlim(), span.ends
    axes.barh(y, ends - span.starts, 0.07 * axes.get_ylim()[1], span.starts, zorder=2.2, **look)
    if ends - span.starts > 0.5 * (high - low):
        box = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0}
        axes.text(0.5 * (span.starts + ends), y, say(code), ha="center", va="center",
                  weight="bold", bbox=box)  # fmt: skip
    elif ends - low > 0.7 * (high - low):
        axes.text(span.starts, y, f"{say(code)} ", va="center", ha="right", weight="bold")
    else:
        axes.text(ends, y, f" {say(code)}", va="center", weight="bold")


def _phase_title(window: Window, minutes: float) -> Note:
    goal, warm, light = window.target.name, window.too_warm_at, window.too_light_at
    if window.opens is None and warm is not None:
        return note("plot.phases.no_window", goal=goal, too_warm_at=warm)
    if window.opens is not None and window.closes_by == "warmth":
        return note("plot.phases.window", goal=goal, opens=window.opens, past_at=warm)
    if window.opens is None or window.target.wanted is None:
        return note("plot.never_too_warm", goal=goal, minutes=minutes)
    if light is None:
        return note("plot.phases.stays", goal=goal, opens=window.opens)
    return note("plot.phases.light", goal=goal, opens=window.opens, past_at=light)


@picture(9.0, 5.0, style.CLASSROOM)
def plot_one_curve(
    hair: Hair, mixtures: Sequence[Mixture], minutes: ArrayLike = (10.0, 20.0, 30.0, 40.0),
    curves: CurveSet = SHIPPED, axes: Axes = OWN,
) -> Axes:  # fmt: skip
    """Warmth against lift for several strengths: one curve, walked at different speeds.

    Parameters
    ----------
    hair : Hair
        One strand.
    mixtures : sequence of Mixture
        Without tone; at most five.
    minutes : array_like
        Processing times that are marked [min], rising.

    Examples
    --------
    >>> import lift
    >>> mixtures = [lift.Mixture("cream", 20), lift.Mixture("cream", 40)]
    >>> lift.teach.plot_one_curve(lift.Hair(level=6), mixtures).get_title(loc="left")
    'A stronger developer walks the same curve, only faster'
    """
    times = np.atleast_1d(check_range(MINUTES.label, minutes, *MINUTES.range, MINUTES.unit))
    if times.ndim != 1 or not times.size:
        raise LiftError("ensemble.times", shape=times.shape)
    if not mixtures:
        raise LiftError("domain.none", name=note("plot.mixtures"))
    check_one_strand(hair, *mixtures)
    strands = [simulate(hair, mixture, times, curves) for mixture in mixtures]
    lifts = [min(float(strand.lift[-1]), LAST_LEVEL - float(hair.level)) for strand in strands]
    farthest = mixtures[int(np.argmax(lifts))]
    line = simulate(hair, farthest, np.linspace(0, times[-1], 161), curves)
    gained = on_scale(line.lift, line.level)
    axes.plot(gained, line.warmth, color=style.SOFT, lw=1.5, zorder=1)
    axes.margins(0.06, 0.1)  # room for the marks at either end and at the top
    for mixture, strand, marker in zip(mixtures, strands, MARKERS, strict=False):
        some = strand.level <= LAST_LEVEL
        at = strand.lift[some], strand.warmth[some]
        draw_marks(axes, at, strand.pigmented[some], marker, 420.0, zorder=2,
                   label=say("plot.volume", volume=mixture.developer_volume))  # fmt: skip
    # At one lift every strength must show one warmth: how far it does is the finding.
    off = max(
        float(np.max(np.abs(np.interp(s.lift, line.lift, line.warmth) - s.warmth))) for s in strands
    )
    said = say("plot.one_curve.times", times=[f"{t:g}" for t in times])
    axes.legend(title=said, loc="lower right")
    title = "plot.one_curve" if off < 0.1 else note("plot.one_curve.part", off=off)
    alt = note("alt.one_curve", low=min(lifts), high=max(lifts), minutes=times[-1],
               volumes=[f"{m.developer_volume:g}" for m in mixtures])  # fmt: skip
    return lettered(axes, title, "axis.lift", "axis.warmth", alt=alt)


@picture(9.0, lambda cases, **_: 0.9 + 0.75 * len(cases), style.CLASSROOM)
def plot_cases(
    cases: Sequence[Case], goal: Goal | None = None, minutes: float = 30.0,
    curves: CurveSet = SHIPPED, axes: Axes = OWN,
) -> Axes:  # fmt: skip
    """Colour through time and window of several cases, one strip below the other.

    Parameters
    ----------
    cases : sequence of (str, Hair, Mixture)
        Name, strand and mixture of each.
    goal : Goal, optional
        Default: to stay natural.
    minutes : float
        Processing time at the right edge [min], 1 to 120; a strip ends where the domain of its
        mixture does.

    Examples
    --------
    >>> import lift
    >>> cases = [("level 6", lift.Hair(level=6), lift.Mixture("cream", 20))]
    >>> len(lift.teach.plot_cases(cases).images)  # a strip, and two natural levels beside it
    3
    """
    closing, places, strips = {}, set(), []
    if not cases:
        raise LiftError("domain.none", name=note("plot.case_list"))
    for row, (name, hair, mixture) in enumerate(cases):
        end = min(PROCESSED.number(minutes), longest_minutes(mixture, curves))
        lab = simulate(hair, mixture, np.linspace(0.0, end, 181), curves).pigmented
        draw_strip(axes, lab, (0.0, end, row + 0.22, row - 0.4))
        strips.append((lab, row + 0.22, row - 0.4))
        window = find_window(hair, mixture, goal, curves, members=2, limit_minutes=minutes)
        spans = window.spans(minutes)
        draw_spans(axes, spans, row + 0.34, 0.14)
        places |= {span.place for span in spans}
        if window.too_warm_at is not None:
            closing[name] = window.too_warm_at
    axes.set(ylim=(len(cases) - 0.45, -0.5), xlim=(0, minutes))
    draw_levels(axes, strips, curves)
    axes.set_yticks(range(len(cases)), [c[0] for c in cases])
    axes.tick_params(axis="y", length=0, labelcolor=style.INK)
    axes.grid(visible=False)
    axes.spines["left"].set_visible(False)
    title = note("plot.never_too_warm", goal=window.target.name, minutes=minutes)
    if closing:
        first, last = min(closing, key=closing.__getitem__), max(closing, key=closing.__getitem__)
        title = note("plot.cases", first=" ".join(first.split()), last=" ".join(last.split()),
                     first_at=closing[first], last_at=closing[last],
                     goal=window.target.name)  # fmt: skip
    alt = note("alt.cases", cases=len(cases), minutes=minutes, warm=len(closing),
               goal=window.target.name)  # fmt: skip
    key = note("plot.cases.time", key=fill(place_key(places), 48))
    return lettered(axes, title, key, alt=alt)
