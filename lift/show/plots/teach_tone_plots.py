"""Pictures that explain toning: two circles, dye bands, and what a tone takes of the light."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lift.model.curves import CurveSet, default_curves
from lift.model.natural import natural_path
from lift.model.strand import natural_pigment, strand_reflectance
from lift.optics.dyes import palette
from lift.optics.weights import WAVELENGTHS_NM
from lift.practice.stage_table import stage_table
from lift.practice.toning.tone_report import ToneReport
from lift.show import style
from lift.show.plots.carried_plots import dye_colour
from lift.show.plots.circle_plots import family_colour, plot_cielab_circle, plot_painters_wheel
from lift.show.plots.figure import new_figure, own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LINES = ("-", "--", "-.", ":", (0, (6, 2, 1, 2, 1, 2)))


@style.house
def plot_opposition(report: ToneReport) -> Figure:
    """CIELAB opposition and the painter's wheel side by side, for one hair."""
    figure = new_figure(9.4, 5.0)
    left, right = figure.subplots(1, 2)
    plot_cielab_circle(report, left)
    plot_painters_wheel(report, right)
    return figure


@style.classroom
def plot_answers(curves: CurveSet | None = None, axes: Axes | None = None) -> Axes:
    """What answers the underpigment of each level: family of the wheel, and CIELAB hue."""
    from matplotlib.patches import Rectangle

    curves = curves or default_curves()
    axes = own_axes(axes, 10.0, 3.6, style.CLASSROOM)
    stages = stage_table(curves)
    rows = [i for i in range(stages.levels.size) if bool(stages.tone.needed[i])]
    for column, i in enumerate(rows):
        tone = stages.tone[i]
        for y, colour in (
            (1.0, rgb(stages.underpigment[i])),
            (0.0, family_colour(str(tone.wheel))),
        ):
            axes.add_patch(Rectangle((column - 0.5, y), 1.0, 0.96, facecolor=colour, lw=0))
        for y, words, ink in (
            (1.48, stages.stages[i], "white"),
            (0.48, str(tone.wheel), style.INK),
        ):
            broken = words.replace("-", "-\n").replace(" ", "\n")
            axes.text(column, y, broken, ha="center", va="center", color=ink, fontsize="small")
        axes.text(column, -0.1, f"{float(tone.hue_deg):.0f}\u00b0", ha="center", va="top")
    axes.set(xlim=(-0.5, len(rows) - 0.5), ylim=(-0.5, 1.98))
    axes.set_xticks(range(len(rows)), [f"{stages.levels[i]:.0f}" for i in rows])
    axes.set_yticks([1.48, 0.48, -0.25], ["underpigment", "answered by", "CIELAB hue"])
    axes.xaxis.tick_top()
    axes.xaxis.set_label_position("top")
    axes.set_xlabel("level reached")
    axes.tick_params(length=0)
    axes.grid(visible=False)
    axes.spines[:].set_visible(False)
    first, last = (str(stages.tone[i].wheel) for i in (rows[0], rows[-1]))
    axes.set_title(f"From dark to light, the answer moves from {first} to {last}", pad=14)
    return axes


@style.classroom
def plot_dye_bands(axes: Axes | None = None) -> Axes:
    """Absorption of each dye band over wavelength, each in the colour it has itself."""
    from matplotlib.patheffects import Normal, Stroke

    axes = own_axes(axes, 9.0, 4.6, style.CLASSROOM)
    outline = [Stroke(linewidth=5.5, foreground=style.INK), Normal()]
    for (name, band), line in zip(palette().items(), LINES, strict=True):
        axes.plot(
            WAVELENGTHS_NM,
            100.0 * band.absorption(WAVELENGTHS_NM),
            ls=line,
            lw=3.5,
            color=dye_colour(name),
            path_effects=outline,
            label=name,
        )
    for nm, word in ((410, "violet"), (465, "blue"), (530, "green"), (580, "yellow"), (680, "red")):
        axes.text(nm, 1.04, word, ha="center", style="italic")
    axes.set(xlim=(380, 780), ylim=(0, 1.12))
    axes.legend(loc="center left", bbox_to_anchor=(1.0, 0.5))
    axes.set_xlabel("wavelength of light [nm]")
    axes.set_ylabel("absorption of one unit of dose\n[0.01 per fibre radius]")
    axes.set_title("A dye is named by what it lets through, and works by what it takes")
    return axes


@style.classroom
def plot_toned_light(report: ToneReport, axes: Axes | None = None) -> Axes:
    """Light that the hair gives back before and after toning, against natural hair."""
    from matplotlib.patheffects import Normal, Stroke

    axes = own_axes(axes, 9.0, 4.8, style.CLASSROOM)
    answer, values = report.answer, report.curves.values
    path = natural_path(report.curves)
    level = float(path.level_of_lightness(answer.lab[0]))
    natural = natural_pigment(level, values["pheomelanin_share"], values)
    outline = [Stroke(linewidth=7.0, foreground=style.INK), Normal()]
    before = strand_reflectance(answer.pigment, values, grey_percent=answer.grey_percent)
    after = strand_reflectance(
        answer.pigment, values, tone=answer.tone, grey_percent=answer.grey_percent
    )
    for light, lab, name in ((before, answer.hair, "before"), (after, answer.lab, "toned")):
        axes.plot(WAVELENGTHS_NM, 100 * light, color=rgb(lab), lw=5, path_effects=outline)
        at = (590.0, 100.0 * float(np.interp(590.0, WAVELENGTHS_NM, light)))
        side = (-10, 12) if name == "before" else (10, -24)
        axes.annotate(name, at, side, textcoords="offset points", ha="center")
    twin = strand_reflectance(natural, values)
    axes.plot(WAVELENGTHS_NM, 100.0 * twin, "--", color=style.INK)
    at = (730.0, 100.0 * float(np.interp(730.0, WAVELENGTHS_NM, twin)))
    words = "natural hair,\nlooks like the toned"
    axes.annotate(words, at, (0, -52), textcoords="offset points", ha="center")
    axes.fill_between(WAVELENGTHS_NM, 100 * before, 100 * after, color=style.COOL, alpha=0.18, lw=0)
    taken = before - after
    peak = float(WAVELENGTHS_NM[int(np.argmax(taken))])
    axes.set(xlim=(380, 780), ylim=(0, None))
    axes.set_xlabel("wavelength of light [nm]")
    axes.set_ylabel("light given back [%]")
    dyes = " and ".join(answer.tone) or "no tone"
    axes.set_title(
        f"{dyes.capitalize()} take the light that was too much,\nmost of it at {peak:.0f} nm; "
        f"the hair gets {answer.lightness_lost:.0f} L* darker"
    )
    return axes
