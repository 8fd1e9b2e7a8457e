"""Pictures of strands that were looked at: one before a service, or all that records keep."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from lift.model.natural import path_of
from lift.practice.preview import Preview
from lift.practice.records.learned import Learned
from lift.practice.records.prediction_error import COVERED
from lift.practice.trial.look import LEAD_MINUTES, USELESS
from lift.practice.trial.observation import Observation
from lift.practice.trial.strand_test import StrandTest
from lift.quantities import described
from lift.show import style
from lift.show.plots.figure import OWN, foot, head, lettered, level_axis, picture
from lift.show.said_warmth import warmth_axis
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@picture()
def plot_moved(test: StrandTest, quantity: str, axes: Axes = OWN) -> Axes:
    """Band of ``level`` or ``warmth`` through time, before and after the test, with what was seen.

    Examples
    --------
    >>> import lift
    >>> seen = [lift.Observation(3, level=7.2)]
    >>> test = lift.strand_test(lift.Hair(level=7), lift.Mixture("base-break", 10), seen)
    >>> lift.plot_moved(test, "level").get_ylabel()
    'level'
    """
    shown, warmth, looked = shown_minutes(test), quantity == "warmth", bool(test.observations)
    planned = test.before
    _band(axes, planned, quantity, shown, color=style.SOFT, ls="--", label=say("plot.before"))
    if looked:
        said = say("plot.moved.after")
        _band(axes, test.after, quantity, shown, color=style.COOL, ls="-", label=said)
    for i, seen in enumerate(test.observations):
        at = reading(seen, quantity, planned)
        if at is not None:
            axes.errorbar(
                seen.minutes, at[0], yerr=1.645 * at[1], fmt="o", color=style.INK, capsize=3,
                label=None if i else say("plot.moved.seen"), zorder=4,
            )  # fmt: skip
    said = say("plot.moved.rinse")
    axes.axvline(planned.minutes, color=style.INK, lw=1, ls=":", label=said)
    if warmth and np.isfinite(test.target.warmth_limit):
        limit = test.target.warmth_limit
        said = say("plot.limit", limit=limit)
        axes.axhline(limit, color=style.WARM, lw=1.2, ls="--", label=said)
    if quantity == "level":
        level_axis(axes)
    axes.set_xlim(0.0, shown)
    axes.legend(loc="best" if warmth else "upper left")
    before, after = test.width(quantity)
    title = note(f"plot.moved.{quantity}.{'now' if looked else 'before'}",
                 minutes=planned.minutes, before=before, after=after)  # fmt: skip
    low, median, high = (test.after if looked else planned).band_at(quantity)
    alt = note(f"alt.moved.{quantity}", shown=shown, minutes=planned.minutes,
               low=low, median=median, high=high, seen=len(test.observations))  # fmt: skip
    y = warmth_axis(planned.hair) if warmth else "plot.moved.level"
    return lettered(axes, title, "axis.minutes", y, alt=alt)


def _band(axes: Axes, result: Preview, quantity: str, until: float, **look: Any) -> None:
    minutes = result.drawn.central.minutes[:-1]
    inside = minutes <= until + 1e-9
    low, median, high = (b[:-1][inside] for b in result.drawn.band(quantity))
    axes.fill_between(minutes[inside], low, high, color=look["color"], alpha=0.2, lw=0)
    axes.plot(minutes[inside], median, lw=2, **look)


@picture()
def plot_looks(test: StrandTest, axes: Axes = OWN) -> Axes:
    """Expected gain against the time of the look, before the test and for one more look.

    Times at which a look can still serve are shaded; marked are the look to take, filled where it
    tells, and one on a strand laid ahead.

    Examples
    --------
    >>> import lift
    >>> test = lift.strand_test(lift.Hair(level=7), lift.Mixture("base-break", 10))
    >>> lift.plot_looks(test).get_xlabel()
    'time of the look [min]'
    """
    looks, now = test.looks, test.looks
    said = say("plot.looks.before")
    axes.plot(looks.minutes, 100.0 * looks.gain, color=style.SOFT, lw=2, label=said)
    if test.observations:
        now = test.next_look
        said = say("plot.looks.one_more")
        axes.plot(now.minutes, 100.0 * now.gain, color=style.COOL, lw=2, label=said)
    useless = 100.0 * USELESS * looks.most_gain
    axes.axhspan(0.0, useless, color=style.FAINT, alpha=0.5, lw=0)
    axes.text(0.99, useless / 2.0, say("plot.looks.useless"), color=style.SOFT, ha="right",
              va="center", transform=axes.get_yaxis_transform())  # fmt: skip
    times = now.minutes[now.serves]
    if times.size:
        said, half = say("plot.looks.serves"), LEAD_MINUTES / 4.0
        axes.axvspan(times[0] - half, times[-1] + half, color=style.COOL, alpha=0.15, lw=0,
                     label=said)  # fmt: skip
    said = say("plot.looks.rinse")
    axes.axvline(now.act_by, color=style.INK, lw=1, ls=":", label=said)
    for seen, gain in zip(test.observations, test.gains, strict=True):
        axes.plot([seen.minutes], [100.0 * gain], "o", color=style.INK, ms=7, zorder=4)
    for look in filter(None, (now.same, now.ahead)):
        label = say("plot.looks.ahead", ahead=look.ahead) if look.ahead else None
        axes.plot([look.minutes], [100.0 * look.gain], "s" if look.ahead else "D", ms=8, zorder=4,
                  color=style.WARM, mfc=style.WARM if look.tells else "white", ls="",
                  label=label)  # fmt: skip
    # Room above the curves for the legend.
    top = 140.0 * max(looks.most_gain, now.most_gain, *test.gains, 0.01)
    axes.set(xlim=(0.0, float(looks.minutes[-1])), ylim=(0.0, top))
    axes.legend(loc="upper left", ncols=2, frameon=True, framealpha=0.85, edgecolor="none")
    advised = now.advised
    title = note("plot.looks.none", reading=now.reading)
    if advised is not None and advised.tells:
        where = note("plot.looks.where", ahead=advised.ahead) if advised.ahead else ""
        title = note("plot.looks", minutes=advised.minutes, reading=now.reading, where=where)
    serves = note("alt.looks.never")
    if times.size:
        serves = note("alt.looks.serves", first=float(times[0]), last=float(times[-1]))
    alt = note("alt.looks", end=looks.minutes[-1], minutes=now.most_minutes, serves=serves,
               gain=100.0 * now.most_gain, seen=len(test.observations))  # fmt: skip
    return lettered(axes, title, "plot.looks.time", "plot.looks.settled", alt=alt)


@picture(11.0, 7.0)
def plot_strand_test(test: StrandTest, figure: Figure = OWN) -> Figure:
    """Level, warmth and times to look, on one sheet."""
    grid = figure.add_gridspec(2, 2)
    plot_moved(test, "level", figure.add_subplot(grid[0, 0]))
    plot_moved(test, "warmth", figure.add_subplot(grid[0, 1]))
    plot_looks(test, figure.add_subplot(grid[1, :]))
    foot(figure, test.cautions)
    said = note("plot.strand_test", hair=described(test.before.hair), mixture=test.before.mixture)
    return head(figure, said, color=style.SOFT)


def shown_minutes(test: StrandTest) -> float:
    """How much time to show: past the rinse and every look, not all of an empty hour."""
    ends = [15.0, 2.0 * test.before.minutes, *(1.15 * seen.minutes for seen in test.observations)]
    return float(min(max(ends), test.before.drawn.central.minutes[-2]))


def reading(seen: Observation, quantity: str, result: Preview) -> tuple[float, float] | None:
    """Value and sd of a reading on the axis of a quantity; None where the eye cannot tell."""
    if seen.lab is None:
        return (float(seen.numbers[0]), float(seen.sd[0])) if quantity == "level" else None
    path = path_of(result.hair, result.curves)
    if quantity == "warmth":
        return float(path.warmth(seen.numbers)), float(np.hypot(*seen.sd[1:]) / np.sqrt(2.0))
    around = path.level_of_lightness(seen.lab[0] + np.array([-1.0, 0.0, 1.0]) * seen.sd[0])
    return float(around[1]), 0.5 * float(around[2] - around[0])


@picture(9.0, 4.4)
def plot_errors(result: Learned, axes: Axes = OWN) -> Axes:
    """Seen minus predicted for each record, with the band that should hold nine of ten."""
    place = np.arange(len(result.records))
    for errors, colour, shift, label in (
        (result.before, style.SOFT, -0.15, say("plot.before")),
        (result.after, style.COOL, 0.15, say("plot.errors.after", left_out=result.held_out_by)),
    ):
        said = say("plot.errors.rms", which=label, rms=errors.rms)
        axes.errorbar(place + shift, errors.error, yerr=COVERED * errors.sd, fmt="o",
                      color=colour, ms=5, lw=1.2, label=said)  # fmt: skip
    if result.suspects:
        suspects = list(result.suspects)
        axes.plot(place[suspects], np.asarray(result.before.error)[suspects], "x",
                  color=style.WARM, ms=11, mew=2, label=say("plot.errors.suspect"))  # fmt: skip
    axes.axhline(0.0, color=style.INK, lw=1)
    step = max(1, len(place) // 15)
    numbers = [str(r.number or i + 1) for i, r in enumerate(result.records)]
    axes.set_xticks(place[::step], numbers[::step])
    axes.legend(loc="best")
    before, after = result.before.rms, result.after.rms
    title = "plot.errors.lower" if after < before else "plot.errors.not_lower"
    alt = note("alt.errors", records=len(place), before=before, after=after,
               suspects=len(result.suspects))  # fmt: skip
    return lettered(axes, note(title, before=before, after=after), "plot.errors.number",
                    "plot.errors.seen", alt=alt)  # fmt: skip


@picture(10.0, 5.0)
def plot_learned(result: Learned, figure: Figure = OWN) -> Figure:
    """Errors on a sheet that says what they rest on."""
    plot_errors(result, figure.add_subplot())
    said = note("plot.records", name=result.curves.name, standing=result.curves.standing)
    return head(figure, said, color=style.SOFT)
