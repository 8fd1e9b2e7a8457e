"""``python -m lift.make.photographs [FILE]``: truth against what is measured, by light.

Of photographs that are computed (`lift.make.photograph`): a check on the measuring, no evidence
about hair.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.make.photograph import CAMERAS, LIGHTS, Scene, photograph, some_hair
from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab
from lift.photo.measure import open_chart
from lift.photo.measured import Z90

FILE = Path("build/photographs.png")
NOISE = (0.0, 0.005)

Held = NDArray[np.bool_]
Draw = Callable[[int], Scene]
"""Scene of a number; the same number gives the same scene."""


def even_scene(number: int) -> Scene:
    """Two kinds of hair and the chart in one even light, every light and camera in turn."""
    random = np.random.default_rng([1, number])
    return Scene(
        some_hair(2, seed=100 + number),
        light=LIGHTS[number % len(LIGHTS)],
        camera=CAMERAS[number // len(LIGHTS) % len(CAMERAS)],
        tilt=0.03,
        exposure=float(random.uniform(0.6, 0.9)),
        quality=92,
        seed=number,
    )


def uneven_scene(number: int) -> Scene:
    """The same in uneven light, with noise, a tone curve and stronger compression."""
    random = np.random.default_rng([2, number])
    return replace(
        even_scene(number),
        noise=float(random.uniform(0.0, 0.005)),
        vignetting=float(random.uniform(0.0, 0.3)),
        slope=float(random.uniform(-0.2, 0.2)),
        tone=float(random.uniform(0.85, 1.15)),
        quality=int(random.integers(80, 96)),
    )


@dataclass(frozen=True, eq=False)
class Study:
    """What was measured in many photographs, two kinds of hair in each.

    Parameters
    ----------
    light, camera : numpy.ndarray
        Of each picture, shape (n,).
    true, lab, sd : numpy.ndarray
        CIELAB as it is and as it was measured, with standard deviations, shape (n, 2, 3).
    like, like_sd : numpy.ndarray
        The second estimate, shape (n, 2, 3).
    differs, differs_sd : numpy.ndarray
        Second kind less first, as measured, shape (n, 3).
    told : tuple of tuple of str
        Codes of what was told against each picture's answers.
    """

    light: NDArray[Any]
    camera: NDArray[Any]
    true: Floats
    lab: Floats
    sd: Floats
    like: Floats
    like_sd: Floats
    differs: Floats
    differs_sd: Floats
    told: tuple[tuple[str, ...], ...]

    @property
    def errors(self) -> Floats:
        """Errors [dE00] of the first estimate, shape (n, 2)."""
        return delta_e_2000(self.lab, self.true)

    @property
    def like_errors(self) -> Floats:
        """Errors [dE00] of the second estimate, shape (n, 2)."""
        return delta_e_2000(self.like, self.true)

    def inside(self, wide: float = Z90) -> tuple[Held, Held, Held]:
        """Whether truth lies within so many standard deviations, by axis, shape (n, 2, 3).

        Of the first estimate, of the second, and of the difference, shape (n, 3).
        """
        apart = self.true[:, 1] - self.true[:, 0]
        return (
            np.abs(self.lab - self.true) < wide * self.sd,
            np.abs(self.like - self.true) < wide * self.like_sd,
            np.abs(self.differs - apart) < wide * self.differs_sd,
        )


def study(draw: Draw, count: int, **change: Any) -> Study:
    """Take and measure photographs of scenes 0 to `count`, each with a `change`."""
    rows = [_row(replace(draw(number), **change)) for number in range(count)]
    *numbers, told = zip(*rows, strict=True)
    columns: list[Any] = [*map(np.array, numbers), told]
    return Study(*columns)


def _row(scene: Scene) -> tuple[Any, ...]:
    taken = photograph(scene)
    opened = open_chart(taken.pixels, taken.chart, edition=scene.edition)
    differs = opened.measure_difference(*taken.hair)
    both = differs.first, differs.second
    return (
        scene.light,
        scene.camera,
        reflectance_to_lab(scene.hair),
        [each.lab for each in both],
        [each.sd for each in both],
        [each.pigment.lab for each in both],
        [each.pigment.sd for each in both],
        differs.lab,
        differs.sd,
        tuple(told.code for each in both for told in each.warnings),
    )


def figure(studies: dict[str, Study]) -> Any:
    """Draw what was measured against truth, an axis of CIELAB a column and a light a row."""
    from lift.show import style
    from lift.show.plots.figure import new_figure

    with style.looking(style.RC):
        sheet = new_figure(11.0, 10.0)
        grid = sheet.subplots(len(LIGHTS), 3, squeeze=False)
        for row, light in zip(grid, LIGHTS, strict=True):
            for axis, (axes, name) in enumerate(zip(row, ("L*", "a*", "b*"), strict=True)):
                for colour, (label, found) in zip(
                    (style.COOL, style.WARM), studies.items(), strict=True
                ):
                    of = found.light == light
                    true = found.true[of][..., axis].ravel()
                    off = (found.lab - found.true)[of][..., axis].ravel()
                    sd = found.sd[of][..., axis].ravel()
                    axes.errorbar(
                        true, off, Z90 * sd, fmt="o", ms=3, lw=0.4, alpha=0.6, color=colour,
                        label=label,
                    )  # fmt: skip
                axes.axhline(0.0, color=style.INK, lw=0.8)
                axes.set(ylim=(-7.0, 7.0), xlabel=f"true {name}", ylabel=f"measured - true {name}")
                axes.set_title(summary(studies, light) if axis == 0 else "", fontsize=9)
        grid[0, -1].legend(fontsize=8)
    return sheet


def summary(studies: dict[str, Study], light: str) -> str:
    """Errors of one light, in one line a study."""
    lines = []
    for label, found in studies.items():
        of = found.light == light
        first, second = found.errors[of], found.like_errors[of]
        lines.append(
            f"{light}, {label}: dE00 {np.median(first):.2f} (95 in 100: "
            f"{np.quantile(first, 0.95):.2f}); as hair {np.median(second):.2f} "
            f"({np.quantile(second, 0.95):.2f})"
        )
    return "\n".join(lines)


def main(file: Path = FILE, count: int = 90) -> None:
    """Print errors by light and noise, and coverage; draw them."""
    from lift.show.plots.figure import save_figure

    for noise in NOISE:
        found = {f"even, noise {noise:.1%}": study(even_scene, count, noise=noise)}
        print(*(summary(found, light) for light in LIGHTS), sep="\n")
    studies = {"even light": study(even_scene, count), "uneven light": study(uneven_scene, count)}
    print(*(summary(studies, light) for light in LIGHTS), sep="\n")
    for name, held in zip(("first", "as hair", "difference"), studies["uneven light"].inside(),
                          strict=True):  # fmt: skip
        axes = held.reshape(-1, 3).mean(axis=0)
        print(f"uneven light, {name}: nine in ten hold {axes.round(3)} of L*, a*, b*")
    file.parent.mkdir(exist_ok=True)
    save_figure(figure(studies), file)
    print(file)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if sys.argv[1:] else FILE)
