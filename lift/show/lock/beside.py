"""What a lock is called, and what it lies beside: a colour alone tells the eye little."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.practice.fibres import GreyLook
from lift.show.lock.shades import in_gamut
from lift.words import say


def named(label: str, lab: ArrayLike) -> str:
    """Label of a lock, which says when no screen can show its colour; CIELAB of shape (3,)."""
    return label if bool(in_gamut(lab)) else say("lock.clipped", label=label)


def fibre_looks(grey: GreyLook | None) -> dict[str, Floats]:
    """Both kinds of fibres of grey hair, none of other hair; by the pigmented, last, levels go."""
    if grey is None:
        return {}
    kinds = {"white": grey.white, "pigmented": grey.pigmented}
    return {say(f"plot.fibres.{name}"): lab for name, lab in kinds.items()}


def with_levels(looks: Mapping[str, ArrayLike], curves: CurveSet) -> dict[str, Floats]:
    """Labelled locks, and behind them those of the two natural levels nearest to the last.

    Nearest in lightness: by it a level is judged. Values are CIELAB of shape (3,).
    """
    shown = {named(label, lab): np.asarray(lab, dtype=float) for label, lab in looks.items()}
    levels, natural = natural_path(curves).levels_beside([*shown.values()][-1])
    names = (say("plot.natural_level", level=float(level)) for level in levels)
    return shown | dict(zip(names, natural, strict=True))


def levels_around(lab: ArrayLike, curves: CurveSet) -> tuple[Floats, Floats]:
    """The two natural levels between which all of a strip is as light, and their CIELAB.

    The nearest ones: darker than all of it and lighter than all of it, where the scale goes so
    far. Shapes (2,) and (2, 3), for CIELAB along the strip of shape (n, 3).
    """
    along = np.atleast_2d(lab)
    ends = along[[np.argmin(along[:, 0]), np.argmax(along[:, 0])]]
    levels, natural = natural_path(curves).levels_beside(ends)
    return np.array([levels[0, 0], levels[1, 1]]), np.array([natural[0, 0], natural[1, 1]])
