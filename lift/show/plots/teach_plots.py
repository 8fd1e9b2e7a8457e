"""Pictures that explain: melanin, levels, the light hair gives back, what toning takes of it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_range
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import natural_pigment, strand_reflectance
from lift.optics.dyes import palette
from lift.optics.pigments import exponential_shape, fit_exponential
from lift.optics.weights import WAVELENGTHS_NM
from lift.practice.stage_table import stage_table
from lift.practice.toning.tone_report import ToneReport
from lift.quantities import quantities_of
from lift.show import style
from lift.show.plots.figure import OWN, SHIPPED, bare, beside, block, lettered, picture
from lift.show.plots.lock import draw_lock, draw_marks
from lift.show.plots.paint import dye_colour, family_colour
from lift.words import note, say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

BLUE_NM, RED_NM = 450.0, 650.0
MELANINS = (("eumelanin", style.INK, "-", "o"), ("pheomelanin", style.WARM, "--", "s"))
HUES = ((410, "violet"), (465, "blue"), (530, "green"), (580, "yellow"), (680, "red"))
LINES = ("-", "--", "-.", ":", (0, (6, 2, 1, 2, 1, 2)))


def _hues(axes: Axes, height: float, **look: Any) -> None:
    """Name the colours of the spectrum along the axis of wavelengths."""
    for nm, hue in HUES:
        axes.text(nm, height, say(f"spectrum.{hue}"), ha="center", style="italic", **look)


def _outline(width: float) -> Any:
    from matplotlib.patheffects import Normal, Stroke

    return [Stroke(linewidth=width, foreground=style.INK), Normal()]


@picture(9.0, 4.6, style.CLASSROOM)
def plot_melanin(curves: CurveSet = SHIPPED, axes: Axes = OWN, *, measured: bool = True) -> Axes:
    """Absorption of the two melanins over wavelength.

    Parameters
    ----------
    curves : CurveSet, optional
        Gives the slopes; default: the shipped set.
    measured : bool
        Whether to draw the published extinction beside the model's shapes; it comes with a
        checkout, not with an installed package.

    Examples
    --------
    >>> from lift.teach import plot_melanin
    >>> plot_melanin(measured=False).get_xlabel()
    'wavelength of light [nm]'
    """
    ratios = []
    for name, colour, line, marker in MELANINS:
        slope = curves.values[f"{name}_slope"]
        ratios.append(float(np.exp(slope * (RED_NM - BLUE_NM))))
        said = say("plot.melanin.model", name=note(f"melanin.{name}"))
        shape = exponential_shape(WAVELENGTHS_NM, slope)
        axes.plot(WAVELENGTHS_NM, shape, line, color=colour, label=said)
        if measured:
            said = say("plot.melanin.measured", name=note(f"melanin.{name}"))
            axes.plot(*_measured(name), marker, color=colour, mfc="none", ms=7, ls="", label=said)
    _log_scale(axes, [0.2, 0.5, 1, 2, 5])
    _hues(axes, 0.02, transform=axes.get_xaxis_transform())
    axes.set_xlim(380, 780)
    axes.legend(loc="upper right")
    title = note("plot.melanin", eumelanin=ratios[0], pheomelanin=ratios[1])
    alt = note("alt.melanin", eumelanin=ratios[0], pheomelanin=ratios[1], measured=measured)
    return lettered(axes, title, "axis.wavelength", "plot.melanin.absorption", alt=alt)


def _log_scale(axes: Axes, ticks: list[float]) -> None:
    axes.set_yscale("log")
    axes.set_yticks(ticks, [f"{tick:g}" for tick in ticks])
    axes.minorticks_off()


def _measured(pigment: str) -> tuple[Any, Any]:
    """Published extinction in the visible, relative to its fit at 550 nm."""
    from lift.reference import load

    table = load("melanin_extinction")
    nm = table.numbers("wavelength_nm")
    rows = np.array([p == pigment for p in table.words("pigment")]) & (nm >= 380) & (nm <= 780)
    extinction = table.numbers("extinction_cm-1_per_mg_per_ml")[rows]
    at_550, _, _ = fit_exponential(nm[rows], extinction)
    return nm[rows], extinction / at_550


@picture(9.0, 4.6, style.CLASSROOM)
def plot_levels(curves: CurveSet = SHIPPED, axes: Axes = OWN) -> Axes:
    """Melanin of natural hair over level, on a scale of equal ratios.

    Examples
    --------
    >>> from lift.teach import plot_levels
    >>> plot_levels().get_title(loc="left")
    'One level is one equal ratio: 1.7 times the melanin'
    """
    levels = np.arange(1.0, 11.0)
    ratio = curves.values["level_ratio"]
    melanin = np.exp(ratio * (10.0 - levels))
    lab = natural_path(curves).lab_of_level(levels)
    axes.plot(levels, melanin, color=style.SOFT, lw=1.5, zorder=1)
    draw_marks(axes, (levels, melanin), lab, size=700.0, zorder=2)
    _log_scale(axes, [1, 2, 5, 10, 20, 50, 100])
    axes.set_ylim(0.6, 1.7 * melanin[0])
    axes.set_xticks(levels)
    step = float(np.exp(ratio))
    alt = note("alt.levels", step=step, most=melanin[0])
    title = note("plot.levels", step=step)
    return lettered(axes, title, "plot.levels.level", "plot.levels.melanin", alt=alt)


@picture(9.0, 4.6, style.CLASSROOM)
def plot_reflectance(
    levels: ArrayLike = (2.0, 4.0, 6.0, 8.0, 10.0), curves: CurveSet = SHIPPED, axes: Axes = OWN
) -> Axes:
    """Light that natural hair gives back over wavelength, a lock of it at the end of each line.

    Parameters
    ----------
    levels : array_like
        Natural levels [-], 1 to 10, shape (k,).

    Examples
    --------
    >>> from lift.teach import plot_reflectance
    >>> [text.get_text() for text in plot_reflectance([2, 8]).texts]
    ['level 2', 'level 8']
    """
    level = quantities_of(Hair)["level"]
    wanted = np.atleast_1d(check_range(level.label, levels, *level.range))
    if wanted.ndim != 1 or not wanted.size:
        raise LiftError("domain.none", name=level.label)
    values = curves.values
    light = strand_reflectance(natural_pigment(wanted, values["pheomelanin_share"], values), values)
    for at, row in zip(wanted, light, strict=True):
        axes.plot(WAVELENGTHS_NM, 100 * row, color=style.INK)
        end = (780.0, 100.0 * float(row[-1]))
        beside(axes, say("plot.at_level", level=at), end, (16, 0), va="center")
    ends = (np.full(wanted.shape, 780.0), 100.0 * light[:, -1])
    draw_marks(axes, ends, natural_path(curves).lab_of_level(wanted), "s", 420.0, clip_on=False)
    axes.set(xlim=(380, 780), ylim=(0, None))
    alt = note("alt.reflectance", levels=[f"{each:g}" for each in wanted], low=100 * light.min(),
               high=100 * light.max())  # fmt: skip
    return lettered(axes, "plot.reflectance", "axis.wavelength", "axis.light", alt=alt)


def _rows_over_level(axes: Axes, places: Any, levels: Iterable[float], label: str) -> None:
    """Rows of locks: levels on top, nothing else of an axis."""
    axes.set_xticks(places, [f"{level:.0f}" for level in levels])
    axes.xaxis.tick_top()
    axes.xaxis.set_label_position("top")
    axes.set_xlabel(say(label))
    bare(axes)


def _broken(words: str) -> str:
    """Words on as many lines as fit a lock."""
    return words.replace("-", "-\n").replace(" ", "\n")


@picture(9.0, 3.6, style.CLASSROOM)
def plot_ladder(curves: CurveSet = SHIPPED, axes: Axes = OWN) -> Axes:
    """Natural hair and underpigment of the same lightness, level by level, as locks.

    Examples
    --------
    >>> from lift.teach import plot_ladder
    >>> plot_ladder().get_title(loc="left")
    'Lightened hair is warmer than natural hair, most of all at level 7'
    """
    ladder, path = underpigment_ladder(curves), natural_path(curves)
    warmth = path.warmth(ladder.lab)
    for y, lab in ((1.0, path.lab_of_level(ladder.levels)), (0.0, ladder.lab)):
        for level, one in zip(ladder.levels, lab, strict=True):
            draw_lock(axes, one, (level - 0.5, level + 0.5, y, y + 0.97))
    for level, stage, excess in zip(ladder.levels, ladder.stages, warmth, strict=True):
        name = _broken(say("plot.stage", stage=stage))
        axes.text(level, -0.18, f"{excess:+.0f}", ha="center", va="center", weight="bold")
        axes.text(level, -0.36, name, ha="center", va="top", fontsize="small", linespacing=0.95)
    axes.set(xlim=(0.5, 10.5), ylim=(-1.05, 1.98))
    rows = [say(f"plot.{row}") for row in ("natural_row", "lightened_row", "ladder.warmer")]
    axes.set_yticks([1.48, 0.48, -0.18], rows)
    _rows_over_level(axes, ladder.levels, ladder.levels, "plot.ladder.level")
    warmest = ladder.levels[int(np.argmax(warmth))]
    alt = note("alt.ladder", warmest=warmest, most=warmth.max(), least=warmth.min())
    return lettered(axes, note("plot.ladder", level=warmest), alt=alt, pad=14)


@picture(10.0, 5.0, style.CLASSROOM)
def plot_answers(curves: CurveSet = SHIPPED, axes: Axes = OWN) -> Axes:
    """What the wheel says of the underpigment of each level, and which dye does it on hair.

    Examples
    --------
    >>> from lift.teach import plot_answers
    >>> plot_answers().get_xlabel()
    'level reached'
    """
    stages = stage_table(curves)
    rows = [i for i in range(stages.levels.size) if bool(stages.tone.needed[i])]
    right = 0
    for column, i in enumerate(rows):
        found, tone = stages.wheel_and_dye[i], stages.tone[i]
        wheel, place = str(tone.wheel), found.place
        assert place is not None  # every family that answers warmth has a dye
        right += found.verdict != "differ"
        draw_lock(axes, stages.underpigment[i], (column - 0.5, column + 0.5, 1.0, 1.97))
        block(axes, column - 0.5, -0.25, family_colour(wheel), height=0.6)
        block(axes, column - 0.5, -1.4, family_colour(found.told[0]), height=0.95)
        wheels, does = float(found.alone.residual[place]), float(found.best.residual)
        for y, said in (
            (0.69, say("plot.stage", stage=stages.stages[i])),
            (0.05, say("plot.answers.one", dye=wheel, left=wheels)),
            (-0.8, say(f"plot.answers.{'one' if len(found.told) == 1 else 'two'}",
                       dye=found.told[0], second=found.told[-1], left=does)),
            (-1.6, f"{float(tone.hue_deg):.0f}\u00b0"),
        ):  # fmt: skip
            axes.text(column, y, _broken(said), ha="center", va="center", fontsize="x-small",
                      linespacing=0.95)  # fmt: skip
    axes.set(xlim=(-0.5, len(rows) - 0.5), ylim=(-1.8, 1.98))
    names = [say(f"plot.answers.{row}") for row in ("underpigment", "wheel", "does", "hue")]
    axes.set_yticks([1.48, 0.05, -0.92, -1.6], names)
    _rows_over_level(axes, range(len(rows)), stages.levels[rows], "plot.answers.level")
    first, last = stages.tone[rows[0]], stages.tone[rows[-1]]
    alt = note("alt.answers", low=stages.levels[rows[0]], high=stages.levels[rows[-1]],
               first=float(first.hue_deg), last=float(last.hue_deg))  # fmt: skip
    return lettered(axes, note("plot.answers", right=right, all=len(rows)), alt=alt, pad=14)


@picture(9.0, 4.6, style.CLASSROOM)
def plot_dye_bands(axes: Axes = OWN) -> Axes:
    """Absorption of each dye band over wavelength, each in the colour it has itself.

    Examples
    --------
    >>> from lift.teach import plot_dye_bands
    >>> len(plot_dye_bands().get_lines())
    5
    """
    for (name, band), line in zip(palette().items(), LINES, strict=True):
        axes.plot(
            WAVELENGTHS_NM, 100.0 * band.absorption(WAVELENGTHS_NM), ls=line, lw=3.5,
            color=dye_colour(name), path_effects=_outline(5.5), label=say("plot.dye", dye=name),
        )  # fmt: skip
    _hues(axes, 1.04)
    axes.set(xlim=(380, 780), ylim=(0, 1.12))
    axes.legend(loc="center left", bbox_to_anchor=(1.0, 0.5))
    peaks = [say("alt.dye_bands.peak", dye=name, nm=b.centres_nm[0])
             for name, b in palette().items()]  # fmt: skip
    alt = note("alt.dye_bands", peaks=peaks)
    return lettered(axes, "plot.dye_bands", "axis.wavelength", "plot.dye_bands.absorption", alt=alt)


@picture(9.0, 4.8, style.CLASSROOM)
def plot_toned_light(report: ToneReport, axes: Axes = OWN) -> Axes:
    """Light that the hair gives back before and after toning, against natural hair.

    Examples
    --------
    >>> import lift
    >>> lift.teach.plot_toned_light(lift.tone_report((60, 10, 30))).get_ylabel()
    'light given back [%]'
    """
    answer, values = report.answer, report.curves.values
    untoned, toned = (answer.fibres_at(factor).pigmented for factor in (0.0, 1.0))
    level = float(natural_path(report.curves).level_of_lightness(toned[0]))
    natural = strand_reflectance(
        natural_pigment(level, values["pheomelanin_share"], values), values
    )
    before = strand_reflectance(answer.pigment, values)
    after = strand_reflectance(answer.pigment, values, tone=answer.tone)
    for light, lab, code, line, side in (
        (before, untoned, "plot.before", "-", (-18, 18)),
        (after, toned, "plot.toned", "-.", (18, -31)),
    ):
        axes.plot(WAVELENGTHS_NM, 100 * light, line, color=style.INK, lw=3)
        draw_marks(axes, (590.0, 100.0 * _at_nm(light, 590.0)), lab, "s", 700.0)
        _name_line(axes, light, 590.0, say(code), side)
    axes.plot(WAVELENGTHS_NM, 100.0 * natural, "--", color=style.INK)
    _name_line(axes, natural, 730.0, say("plot.toned_light.twin"), (0, -52))
    axes.fill_between(WAVELENGTHS_NM, 100 * before, 100 * after, color=style.COOL, alpha=0.18, lw=0)
    taken = before - after
    peak = float(WAVELENGTHS_NM[int(np.argmax(taken))])
    axes.set(xlim=(380, 780), ylim=(0, None))
    dyes = [note("plot.dye", dye=dye) for dye in answer.tone]
    names = say("list.and").join(map(str, dyes)) or say("plot.no_tone")
    title = note("plot.toned_light", dyes=names.capitalize(), peak=peak,
                 lost=answer.lightness_lost)  # fmt: skip
    alt = note("alt.toned_light", peak=peak, most=100.0 * taken.max(), lost=answer.lightness_lost)
    return lettered(axes, title, "axis.wavelength", "axis.light", alt=alt)


def _name_line(axes: Axes, light: Floats, nm: float, said: str, side: tuple[float, float]) -> None:
    """Name a line of light at one wavelength [nm]."""
    beside(axes, said, (nm, 100.0 * _at_nm(light, nm)), side, ha="center")


def _at_nm(light: Floats, nm: float) -> float:
    """Light given back at one wavelength [nm]."""
    return float(np.interp(nm, WAVELENGTHS_NM, light))
