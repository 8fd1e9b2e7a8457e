"""Pictures that explain, from melanin to the warm colour that lightening exposes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet, default_curves
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import natural_pigment, strand_reflectance
from lift.optics.pigments import exponential_shape, fit_exponential
from lift.optics.weights import WAVELENGTHS_NM
from lift.show import style
from lift.show.plots.figure import own_axes, rgb

if TYPE_CHECKING:
    from matplotlib.axes import Axes

BLUE_NM, RED_NM = 450.0, 650.0
MELANINS = (("eumelanin", style.INK, "-", "o"), ("pheomelanin", style.WARM, "--", "s"))


@style.classroom
def plot_melanin(
    curves: CurveSet | None = None, axes: Axes | None = None, *, measured: bool = True
) -> Axes:
    """Absorption of the two melanins over wavelength.

    Parameters
    ----------
    curves : CurveSet, optional
        Gives the slopes; default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    measured : bool
        Whether to draw the published extinction beside the model's shapes; it comes with a
        checkout, not with an installed package.
    """
    values = (curves or default_curves()).values
    axes = own_axes(axes, 9.0, 4.6, style.CLASSROOM)
    ratios = []
    for name, colour, line, marker in MELANINS:
        slope = values[f"{name}_slope"]
        shape = exponential_shape(WAVELENGTHS_NM, slope)
        axes.plot(WAVELENGTHS_NM, shape, line, color=colour, label=f"{name}, model")
        ratios.append(float(np.exp(slope * (RED_NM - BLUE_NM))))
        if measured:
            nm, relative = _measured(name)
            label = f"{name}, measured"
            axes.plot(nm, relative, marker, color=colour, mfc="none", ms=7, ls="", label=label)
    axes.set_yscale("log")
    axes.set_yticks([0.2, 0.5, 1, 2, 5], ["0.2", "0.5", "1", "2", "5"])
    axes.minorticks_off()
    for nm, word in ((410, "violet"), (465, "blue"), (530, "green"), (580, "yellow"), (680, "red")):
        axes.text(nm, 0.02, word, transform=axes.get_xaxis_transform(), ha="center", style="italic")
    axes.set_xlim(380, 780)
    axes.set_xlabel("wavelength of light [nm]")
    axes.set_ylabel("absorption [550 nm = 1]")
    axes.set_title(
        f"Melanin takes more blue light than red: eumelanin {ratios[0]:.0f} times,\n"
        f"pheomelanin {ratios[1]:.0f} times as much"
    )
    axes.legend(loc="upper right")
    return axes


def _measured(pigment: str) -> tuple[Any, Any]:
    """Published extinction in the visible, relative to its fit at 550 nm."""
    from lift.reference import load

    table = load("melanin_extinction")
    nm = table.numbers("wavelength_nm")
    rows = np.array([p == pigment for p in table.words("pigment")]) & (nm >= 380) & (nm <= 780)
    extinction = table.numbers("extinction_cm-1_per_mg_per_ml")[rows]
    at_550, _, _ = fit_exponential(nm[rows], extinction)
    return nm[rows], extinction / at_550


@style.classroom
def plot_levels(curves: CurveSet | None = None, axes: Axes | None = None) -> Axes:
    """Melanin of natural hair over level, on a scale of equal ratios."""
    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 4.6, style.CLASSROOM)
    levels = np.arange(1.0, 11.0)
    values = curves.values
    melanin = np.exp(values["level_ratio"] * (10.0 - levels))
    lab = natural_path(curves).lab_of_level(levels)
    axes.plot(levels, melanin, color=style.SOFT, lw=1.5, zorder=1)
    axes.scatter(levels, melanin, c=rgb(lab), s=420, edgecolors=style.INK, zorder=2)
    axes.set_yscale("log")
    ticks = [1, 2, 5, 10, 20, 50]
    axes.set_yticks(ticks, [str(t) for t in ticks])
    axes.minorticks_off()
    axes.set_ylim(0.7, 60)
    axes.set_xticks(levels)
    axes.set_xlabel("natural level (1 black, 10 lightest blond)")
    axes.set_ylabel("melanin [level 10 = 1]")
    step = float(np.exp(values["level_ratio"]))
    axes.set_title(f"One level is one equal ratio: {step:.1f} times the melanin")
    return axes


@style.classroom
def plot_reflectance(
    levels: ArrayLike = (2.0, 4.0, 6.0, 8.0, 10.0),
    curves: CurveSet | None = None,
    axes: Axes | None = None,
) -> Axes:
    """Light that natural hair gives back over wavelength, each line in its hair's colour.

    Parameters
    ----------
    levels : array_like
        Natural levels [-], 1 to 10, shape (k,).
    curves : CurveSet, optional
        Default: the shipped set.
    axes : matplotlib Axes, optional
        Where to draw.
    """
    from matplotlib.patheffects import Normal, Stroke

    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 4.6, style.CLASSROOM)
    wanted = np.asarray(levels, dtype=float)
    values = curves.values
    light = strand_reflectance(natural_pigment(wanted, values["pheomelanin_share"], values), values)
    colours = rgb(natural_path(curves).lab_of_level(wanted))
    outline = [Stroke(linewidth=6.5, foreground=style.INK), Normal()]
    for level, row, colour in zip(wanted, light, colours, strict=True):
        axes.plot(WAVELENGTHS_NM, 100.0 * row, color=colour, lw=4.5, path_effects=outline)
        axes.text(785, 100.0 * row[-1], f"level {level:g}", va="center")
    axes.set_xlim(380, 780)
    axes.set_ylim(0, None)
    axes.set_xlabel("wavelength of light [nm]")
    axes.set_ylabel("light given back [%]")
    axes.set_title("Less melanin gives back more light, and red before blue")
    return axes


@style.classroom
def plot_ladder(curves: CurveSet | None = None, axes: Axes | None = None) -> Axes:
    """Natural hair and underpigment of the same lightness, level by level, as swatches."""
    from matplotlib.patches import Rectangle

    curves = curves or default_curves()
    axes = own_axes(axes, 9.0, 3.6, style.CLASSROOM)
    ladder, path = underpigment_ladder(curves), natural_path(curves)
    warmth = path.warmth(ladder.lab)
    rows = ((1.0, path.lab_of_level(ladder.levels)), (0.0, ladder.lab))
    for y, lab in rows:
        for level, colour in zip(ladder.levels, rgb(lab), strict=True):
            axes.add_patch(Rectangle((level - 0.5, y), 1.0, 0.96, facecolor=colour, lw=0))
    for level, stage, excess in zip(ladder.levels, ladder.stages, warmth, strict=True):
        name = stage.replace("-", "-\n").replace(" ", "\n")
        axes.text(
            level, -0.08, f"{name}", ha="center", va="top", fontsize="small", linespacing=0.95
        )
        axes.text(
            level, 0.48, f"{excess:+.0f}", ha="center", va="center", color="white", weight="bold"
        )
    axes.set_xlim(0.5, 10.5)
    axes.set_ylim(-0.75, 1.98)
    axes.set_yticks([1.48, 0.48], ["natural", "lightened"])
    axes.set_xticks(ladder.levels)
    axes.xaxis.tick_top()
    axes.xaxis.set_label_position("top")
    axes.set_xlabel("level reached (figures in the lower row: warmth [dC*])")
    axes.tick_params(length=0)
    axes.grid(visible=False)
    axes.spines[:].set_visible(False)
    warmest = int(np.argmax(warmth))
    axes.set_title(
        f"Lightened hair is warmer than natural hair, most of all at level {warmest + 1}", pad=14
    )
    return axes
