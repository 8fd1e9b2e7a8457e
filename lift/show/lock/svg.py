"""The lock as a drawing: paths filled with gradients, for the card and for the page's script."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from xml.etree.ElementTree import Element, SubElement, tostring

import numpy as np
from numpy.typing import ArrayLike

from lift.show.lock.shades import ground, shade_texts
from lift.show.lock.shape import MARGIN, STOPS, STRANDS, shape, sway

WIDTH, HEIGHT = 100, 200
"""Of the drawing, in its own units; it is stretched to where it is shown."""

BENDS = 8
"""Straight stretches that stand for the sway of a strand."""

DIGITS = 6
"""Of one shade in a text of shades, ``rrggbb``."""


def lock_svg(lab: ArrayLike, name: str, words: str, **place: str) -> str:
    """SVG of a lock on its ground, to stand in HTML, of CIELAB of shape (3,).

    Parameters
    ----------
    name : str
        Unlike that of any other lock in the document: its gradients are called by it.
    words : str
        For those who cannot see it.
    **place : str
        Where it lies in another drawing: ``x``, ``y``, ``width``, ``height``.
    """
    (shades,) = shade_texts(lab)

    def paint(shade: int) -> dict[str, str]:
        return {"stop-color": f"#{shades[DIGITS * shade : DIGITS * (shade + 1)]}"}

    return _drawing(paint, name, {"role": "img", "aria-label": words, **place})


@lru_cache(maxsize=1)
def lock_template() -> str:
    """SVG of a lock that has no colour yet; each stop says which shade it takes.

    It carries, for what a script draws beside whole locks, the threads of a strip, how much of a
    lock is of each shade, and the ground.
    """
    threads = (f"{shade} {width:.5f}" for shade, width in shape().threads)
    carried = {
        "data-threads": " ".join(threads),
        "data-shares": " ".join(f"{share:.5f}" for share in shape().share),
        "data-ground": ground(),
    }
    return _drawing(lambda shade: {"data-shade": str(shade)}, "lock", carried)


def _drawing(paint: Callable[[int], dict[str, str]], name: str, further: dict[str, str]) -> str:
    """Strands from left to right, each to the right edge: where two meet nothing shines through."""
    size = {"width": str(WIDTH), "height": str(HEIGHT)}
    box = {"viewBox": f"0 0 {WIDTH} {HEIGHT}", "preserveAspectRatio": "none"}
    drawing = Element("svg", {"class": "lock", **box, **further})
    defined = SubElement(drawing, "defs")
    SubElement(drawing, "rect", {**size, "fill": ground()})
    names: dict[tuple[int, ...], str] = {}
    for strand, row in enumerate(shape().table.tolist()):
        own = names.setdefault(tuple(row), f"{name}-{len(names)}")
        SubElement(drawing, "path", {"d": _outline(strand), "fill": f"url(#{own})"})
    # In the drawing's own units: strands sway, but their shine lies at one height.
    ends = {"x1": "0", "y1": "0", "x2": "0", "y2": str(HEIGHT)}
    for shades, own in names.items():
        look = {"id": own, "gradientUnits": "userSpaceOnUse", **ends}
        gradient = SubElement(defined, "linearGradient", look)
        for place, shade in _stops(shades):
            SubElement(gradient, "stop", {"offset": f"{place:.3g}", **paint(shade)})
    return tostring(drawing, "unicode")


def _stops(shades: tuple[int, ...]) -> list[tuple[float, int]]:
    """Places and shades of a strand's stops, without those between two of their own shade."""
    kept = [(0.0, shades[0])]
    for stop in range(1, STOPS - 1):
        if not shades[stop - 1] == shades[stop] == shades[stop + 1]:
            kept.append((stop / (STOPS - 1), shades[stop]))
    return [*kept, (1.0, shades[-1])]


@lru_cache(maxsize=STRANDS)
def _outline(strand: int) -> str:
    """Path of a strand from its left edge to the right edge of the lock."""
    down = np.linspace(0.0, 1.0, BENDS + 1)
    shift = sway(down)
    left = MARGIN + shift + (1.0 - 2.0 * MARGIN) * strand / STRANDS
    right = 1.0 - MARGIN + shift
    ring = [*zip(left, down, strict=True), *reversed(list(zip(right, down, strict=True)))]
    return "M" + "L".join(f"{WIDTH * x:.1f} {HEIGHT * y:.1f}" for x, y in ring) + "Z"
