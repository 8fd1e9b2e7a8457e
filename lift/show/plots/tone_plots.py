"""Pictures of a toned strand: against the dose, through time, under other light, over washes."""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import fill
from typing import TYPE_CHECKING, Any

import numpy as np

from lift.errors import LiftError
from lift.practice.dose_search import residual_to
from lift.practice.toning.carried import Carried, Depth
from lift.practice.toning.fade import Fade
from lift.practice.toning.other_light import OtherLight
from lift.practice.toning.tone_report import ToneReport
from lift.show import style
from lift.show.lock.beside import fibre_looks, named
from lift.show.plots.figure import OWN, bare, beside, block, lettered, picture
from lift.show.plots.lock import draw_beside, draw_levels, draw_lock, draw_strip
from lift.show.plots.paint import dye_colour
from lift.show.plots.placing import write_apart
from lift.show.said_warmth import warmth_axis
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HATCHES = ("", "////", "....", "xxxx", "----")


@picture(9.4, 2.8)
def plot_toned(report: ToneReport, axes: Axes = OWN) -> Axes:
    """Hair before and after toning, and its goal, beside natural hair that is as light.

    Examples
    --------
    >>> import lift
    >>> len(lift.teach.plot_toned(lift.tone_report((60, 10, 30))).images)
    5
    """
    answer = report.answer
    looks: dict[str, Any] = {
        say("plot.goal"): report.wanted,
        say("plot.before"): report.lab,
        say("plot.toned"): answer.lab,
    }
    looks |= fibre_looks(report.toned)
    alt = draw_beside(axes, looks, report.curves)
    axes.text(1.04, 0.5, fill(say("lock.screen"), 44), transform=axes.transAxes, va="center",
              color=style.SOFT)  # fmt: skip
    return lettered(axes, note("plot.toned.title", residual=answer.residual), alt=alt)


@picture(6.4, 4.4)
def plot_dose_response(report: ToneReport, axes: Axes = OWN) -> Axes:
    """Warmth and distance from the goal against the dose; too much goes past neutral.

    Examples
    --------
    >>> import lift
    >>> report = lift.tone_report((60, 10, 30))
    >>> lift.teach.plot_dose_response(report).get_xlabel()
    'dose, as a multiple of the best'
    """
    answer = report.answer
    factors = np.linspace(0.0, 3.0, 121)
    fibres = answer.fibres_at(factors)
    warmth = answer.path.warmth(fibres.pigmented)
    residual = residual_to(answer.goal, report.curves, answer.path)(fibres.pigmented)
    extent = (0.0, 3.0, 0.0, 0.12)
    draw_strip(axes, fibres.pigmented, extent, transform=axes.get_xaxis_transform(), zorder=2.5)
    if fibres.white is not None:
        extent = (0.0, 3.0, 0.12, 0.24)
        draw_strip(axes, fibres.white, extent, transform=axes.get_xaxis_transform(), zorder=2.5)
        for low, code in ((0.06, "plot.fibres.pigmented"), (0.18, "plot.fibres.white")):
            axes.text(2.97, low, say(code), transform=axes.get_xaxis_transform(), ha="right",
                      va="center", fontsize=8, zorder=3, backgroundcolor=style.PAPER)  # fmt: skip
    if answer.forgiving is not None:
        axes.axvspan(*answer.forgiving, color=style.COOL, alpha=0.18, lw=0, ymin=extent[3])
        axes.text(1.0, 0.985, say("plot.dose.same"), transform=axes.get_xaxis_transform(),
                  ha="center", va="top", color=style.COOL, fontsize=9)  # fmt: skip
    axes.axhline(0.0, color=style.INK, lw=1)
    axes.plot(factors, warmth, color=style.WARM, lw=2.4, label=say(warmth_axis(report)))
    said = say("plot.dose.from_goal")
    axes.plot(factors, residual, color=style.INK, lw=1.6, ls="--", label=said)
    for look in (answer.under, answer.over):
        if look is not None:
            at = (look.factor, look.warmth)
            axes.plot(*at, "o", color=style.INK, ms=6, zorder=4)
            said = str(look.words).replace(", ", ",\n")
            beside(axes, said, at, (8, 8), fontsize=9)
    low, high = float(min(warmth.min(), 0.0)), float(max(warmth.max(), residual.max()))
    room = high - low
    axes.set(xlim=(0.0, 3.0), ylim=(low - 0.25 * room, high + 0.12 * room))
    draw_levels(axes, [(fibres.pigmented, 0.0, 0.12)], report.curves, axes.transAxes)
    axes.legend(loc="upper right", fontsize=9)
    past = answer.over is not None and answer.over.warmth < 0.0
    title = "plot.dose.past" if past else note("plot.dose.leaves", residual=answer.residual)
    alt = note("alt.dose", before=warmth[0], best=warmth[40], double=warmth[80],
               residual=answer.residual)  # fmt: skip
    return lettered(axes, title, "plot.dose.dose", "plot.dose.both", alt=alt)


@picture(6.4, 4.4)
def plot_partial(report: ToneReport, axes: Axes = OWN) -> Axes:
    """What is left for every L* that toning takes, and how far each dye gets by itself.

    Examples
    --------
    >>> from lift import default_curves, tone_report
    >>> from lift.practice.toning.tone_report import underpigment_state
    >>> plot_partial(tone_report(underpigment_state(4, default_curves()))).get_xlabel()
    'L* given for it'
    """
    found, wheel = report.partial, report.wheel_and_dye
    assert found is not None  # only what is toned towards natural hair is drawn
    axes.plot(found.darker, found.left, color=style.INK, lw=2.2, label=say("plot.partial.left"))
    ends = found.darker[[0, -1]], found.left[[0, -1]]
    axes.plot(*ends, color=style.SOFT, lw=1, ls=":", label=say("plot.partial.even"))
    names: list[tuple[str, tuple[float, float]]] = []
    for dye, darker, left in zip(wheel.dyes, wheel.darker, wheel.alone.residual, strict=True):
        said = say("plot.partial.wheel" if dye == wheel.direction.wheel else "plot.dye", dye=dye)
        axes.plot(darker, left, "o", color=dye_colour(dye), mec=style.INK, ms=9, zorder=4)
        names.append((said, (float(darker), float(left))))
    marked: dict[int, list[str]] = {}
    for code, place in (("knee", found.knee), ("enough", found.enough)):
        if place is not None:
            # Two places that cannot be told apart on the picture are one mark.
            near = next((each for each in marked if abs(each - place) <= 2), place)
            marked.setdefault(near, []).append(say(f"plot.partial.{code}"))
    for place, told in marked.items():
        at = (float(found.darker[place]), float(found.left[place]))
        axes.plot(*at, "D", color=style.WARM, mec=style.INK, ms=9, zorder=5)
        names.insert(0, (",\n".join(told), at))
    right = 1.12 * max(float(found.darker[-1]), *(at[0] for _, at in names))
    axes.set(xlim=(-0.3, right), ylim=(-0.4, 1.15 * float(found.left[0])))
    axes.legend(loc="upper right", fontsize=9)
    write_apart(axes, names, [(found.darker, found.left), ends], fontsize=9)
    alt = note("alt.partial", whole=found.darker[-1], first=found.left[0], said=found.words)
    title = "plot.partial.knee_there" if found.knee is not None else "plot.partial.no_knee"
    return lettered(axes, title, "plot.partial.darker", "plot.partial.dE00", alt=alt)


@picture(6.4, 4.4)
def plot_carried(carried: Carried, axes: Axes = OWN) -> Axes:
    """Warmth through time with the tone a mixture carries and without: carried, then outrun.

    Examples
    --------
    >>> import lift
    >>> hair, mixture = lift.Hair(level=7), lift.Mixture("base-break", 10)
    >>> lift.teach.plot_carried(lift.teach.carried_and_outrun(hair, mixture)).get_ylabel()
    'warmth [dC*]'
    """
    minutes, allowance = carried.minutes, carried.allowance
    said = say("plot.carried.held_back")
    axes.fill_between(minutes, carried.warmth, carried.bare, color=style.COOL, alpha=0.15, lw=0,
                      label=said)  # fmt: skip
    without, with_tone = say("plot.carried.without"), say("plot.carried.with")
    axes.plot(minutes, carried.bare, color=style.INK, lw=1.6, ls="--", label=without)
    axes.plot(minutes, carried.warmth, color=style.WARM, lw=2.4, label=with_tone)
    axes.axhline(allowance, color=style.INK, lw=1.1, ls=":")
    for end, marker, code, away in (
        (carried.bare_too_warm_at, "s", "plot.carried.too_warm", (6, -64)),
        (carried.too_warm_at, "o", "plot.carried.outrun", (30, -28)),
    ):
        if end is not None:
            axes.plot(end, allowance, marker, color=style.INK, ms=8, zorder=4)
            arrow = {"arrowstyle": "-", "color": style.SOFT, "lw": 0.8, "shrinkB": 5}
            at = (end, allowance)
            beside(axes, say(code, end=end), at, away, va="center", fontsize=9, arrowprops=arrow)
    last = carried.too_warm_at or carried.bare_too_warm_at or float(minutes[-1])
    shown = float(min(max(3.0 * last, 20.0), minutes[-1]))
    inside = minutes <= shown
    low = min(0.0, float(carried.warmth[inside].min())) - 0.5
    axes.set(xlim=(0.0, shown), ylim=(low, 1.12 * max(carried.bare[inside].max(), allowance)))
    _allowance(axes, allowance)
    axes.legend(loc="upper left", fontsize=9)
    if carried.held_back.max() <= 0.0:
        title = "plot.carried.none"
    else:
        title = "plot.carried.to_the_end" if carried.too_warm_at is None else "plot.carried.then"
    ends = carried.warmth[inside][-1], carried.bare[inside][-1]
    alt = note("alt.carried", shown=shown, warmth=ends[0], bare=ends[1], allowance=allowance)
    return lettered(axes, title, "axis.minutes", "axis.warmth", alt=alt)


def _allowance(axes: Axes, allowance: float) -> None:
    axes.text(0.99, allowance, say("plot.allowance", allowance=allowance), ha="right", va="bottom",
              fontsize=9, transform=axes.get_yaxis_transform())  # fmt: skip


@picture(6.4, 4.4)
def plot_depth(depth: Depth, axes: Axes = OWN) -> Axes:
    """Tone that answers the same mixture on hair of each natural level, dye by dye.

    Examples
    --------
    >>> from lift.teach import plot_depth, tone_over_level
    >>> plot_depth(tone_over_level([5, 8])).get_xlabel()
    'natural level'
    """
    width = 0.8 * float(np.min(np.diff(depth.levels))) if depth.levels.size > 1 else 0.8
    base = np.zeros(depth.levels.size)
    axes.set_axisbelow(True)
    for dye, dose, hatch in zip(depth.dyes, depth.doses.T, HATCHES, strict=False):
        axes.bar(depth.levels, dose, width, base, color=dye_colour(dye), hatch=hatch,
                 edgecolor=style.INK, lw=0.8, label=say("plot.dye", dye=dye))  # fmt: skip
        base = base + dose
    title: Any = ""
    if len(depth.dyes) > 1:
        share = 100.0 * depth.doses[:, -1] / depth.amount
        for level, top, percent in zip(depth.levels, base, share, strict=True):
            axes.text(level, top, f"{percent:.0f} %", ha="center", va="bottom", fontsize=9)
        title = note("plot.depth", dye=depth.dyes[-1])
    axes.set_ylim(0.0, 1.12 * float(base.max()))
    axes.legend(loc="upper right")
    alt = note("alt.depth", low=depth.levels[0], high=depth.levels[-1], deep=depth.amount[0],
               light=depth.amount[-1])  # fmt: skip
    return lettered(axes, title, "axis.natural_level", "plot.depth.dose", alt=alt)


@picture(6.4, 4.4)
def plot_lights(light: OtherLight, axes: Axes = OWN) -> Axes:
    """Lock of the strand under each light, as an adapted eye sees it, with shift and warmth.

    Examples
    --------
    >>> import lift
    >>> report = lift.tone_report((60, 10, 30))
    >>> len(lift.teach.plot_lights(report.light).images)
    13
    """
    warm, columns = light.turns_warm, 3
    for index, name in enumerate(light.lights):
        row, column = divmod(index, columns)
        turns = name in warm
        draw_lock(axes, light.lab[index], (column, column + 0.25, row + 0.9, row))
        if turns:
            block(axes, column, row, "none", 0.25, 0.9, edgecolor=style.WARM, lw=3.0)
        said = say("plot.lights.swatch", name=name, cct=light.cct_k[index],
                   shift=light.shift[index], warmth=light.warmth[index].round(1) + 0.0,
                   turns=note("plot.lights.turns") if turns else "")  # fmt: skip
        said = named(said, light.lab[index])
        axes.text(column + 0.28, row + 0.45, said, va="center", fontsize=8,
                  linespacing=1.15)  # fmt: skip
    rows = -(-len(light.lights) // columns)
    axes.set(xlim=(-0.05, columns), ylim=(rows, -0.08), xticks=[], yticks=[])
    bare(axes)
    if warm:
        title: Any = note("plot.lights.warm", warm=warm)
    else:
        title = "plot.lights.neutral" if light.neutral_by_daylight else "plot.lights.already"
    alt = note("alt.lights", lights=len(light.lights), shift=light.shift.max(),
               low=light.warmth.min(), high=light.warmth.max())  # fmt: skip
    return lettered(axes, title, alt=alt)


@picture(6.4, 4.4)
def plot_fades(fades: Mapping[str, Fade], axes: Axes = OWN) -> Axes:
    """Warmth against washes for each kind of tone, with the allowance and where it is passed.

    Examples
    --------
    >>> import lift
    >>> report = lift.tone_report((60, 10, 30))
    >>> lift.teach.plot_fades(report.fades).get_xlabel()
    'washes since toning'
    """
    if not fades:
        raise LiftError("plot.fades.none")
    curves: list[Any] = []
    passes: list[tuple[str, tuple[float, float]]] = []
    looks = {"permanent": ("-", "o"), "demi-permanent": ("-.", "D"), "direct": ("--", "s")}
    for name, fade in fades.items():
        line, marker = looks[name]
        axes.fill_between(fade.washes, fade.warmth_slowest, fade.warmth_fastest, color=style.WARM,
                          alpha=0.15, lw=0)  # fmt: skip
        said = say(f"plot.fades.{name}")
        axes.plot(fade.washes, fade.warmth, color=style.WARM, ls=line, lw=2.2, label=said)
        curves.append((fade.washes, fade.warmth))
        if fade.passes:
            at = (fade.passes, fade.allowance)
            axes.plot(*at, marker, color=style.INK, ms=8, zorder=4)
            passes.append((say("plot.fades.passes", name=said, week=fade.week), at))
    first = next(iter(fades.values()))
    often = first.washes_per_week
    axes.axhline(first.allowance, color=style.INK, lw=1.1, ls=":")
    axes.set(xlim=(0.0, first.washes[-1]))
    to_weeks: Any = (lambda washes: washes / often, lambda weeks: weeks * often)
    weeks = axes.secondary_xaxis("top", functions=to_weeks)
    weeks.set_xlabel(say("plot.fades.weeks", often=often), fontsize=9)
    _allowance(axes, first.allowance)
    axes.legend(loc="center right", fontsize=9)
    curves.append(([0.0, first.washes[-1]], [first.allowance] * 2))
    write_apart(axes, passes, curves, fontsize=9)
    ends = [float(fade.warmth[-1]) for fade in fades.values()]
    start = first.warmth[0] > first.allowance
    return lettered(
        axes,
        "plot.fades.from_start" if start else "plot.fades",
        "plot.fades.washes",
        "axis.warmth",
        alt=note("alt.fades", washes=first.washes[-1], start=first.warmth[0], low=min(ends),
                 high=max(ends), allowance=first.allowance),
    )  # fmt: skip
