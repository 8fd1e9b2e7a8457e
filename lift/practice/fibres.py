"""Grey hair told as two kinds of hair: its pigmented fibres, its white ones, and their blend."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import NaturalPath, natural_path
from lift.model.strand import Fibres, white_lab
from lift.optics.colorimetry import delta_e_2000
from lift.practice.tone import tone_direction
from lift.words import Note, note


@dataclass(frozen=True, eq=False)
class GreyLook:
    """What grey hair looks like: both kinds of fibres, and what the eye makes of them.

    Parameters
    ----------
    grey_percent : float
        White fibres among all [%].
    resistant_percent : float
        White fibres that colour does not take, among the white ones [%].
    pigmented, white, blend : numpy.ndarray
        CIELAB of either kind and of both as the eye blends them (D65, 10 degrees), shape (3,).
    warmth, blend_warmth : float
        Warmth of the pigmented fibres, which decides, and of the blend, which is seen [dC*].
    tint : str
        Painter's family that tone has given the white fibres; empty where none is noticed.
    tinted_by : float
        dE00 by which the white fibres differ from untoned ones.
    """

    grey_percent: float
    resistant_percent: float
    pigmented: Floats
    white: Floats
    blend: Floats
    warmth: float
    blend_warmth: float
    tint: str
    tinted_by: float

    @property
    def all_white(self) -> bool:
        """Whether no pigmented fibre is left: what is said of them is how one would look."""
        return self.grey_percent >= 100.0

    @property
    def white_note(self) -> Note:
        """How many white fibres there are, and what tone does to them."""
        tint = (
            note("fibres.tint", tint=self.tint, by=self.tinted_by)
            if self.tint
            else note("fibres.no_tint")
        )
        resist = (
            note("fibres.resistant", resistant=self.resistant_percent)
            if self.resistant_percent > 0.0
            else ""
        )
        return note("fibres.white", grey=self.grey_percent, tint=tint, resist=resist)

    def blend_note(self, limit: float | None = None) -> Note:
        """How warm the blend is, and whether it hides fibres past a limit of warmth [dC*]."""
        return blend_note(self.warmth, self.blend_warmth, limit)

    def notes(self, limit: float | None = None) -> tuple[Note, ...]:
        """All that is said of the fibres, each a sentence; `limit` is one of warmth [dC*]."""
        pigmented = note(
            "fibres.all_white" if self.all_white else "fibres.pigmented",
            lab=tuple(self.pigmented.tolist()),
        )
        white = note("fibres.whites", lab=tuple(self.white.tolist()), said=self.white_note)
        return pigmented, white, self.blend_note(limit)


def blend_note(warmth: float, blend_warmth: float, limit: float | None = None) -> Note:
    """How warm a blend is, and whether it hides pigmented fibres past a limit of warmth [dC*]."""
    hides = limit is not None and warmth > limit >= blend_warmth
    return note("fibres.hides" if hides else "fibres.blend", warmth=blend_warmth)


def grey_look(
    fibres: Fibres,
    grey_percent: float,
    resistant_percent: float,
    curves: CurveSet,
    path: NaturalPath | None = None,
) -> GreyLook | None:
    """Describe the fibres of one strand, CIELAB of shape (3,); None where no hair is grey.

    Warmth is counted from `path`, natural hair of the same kind; default: brown and blond.

    Examples
    --------
    >>> import numpy as np
    >>> from lift.model.curves import default_curves
    >>> from lift.model.strand import natural_pigment, strand_fibres
    >>> curves = default_curves()
    >>> pigment = natural_pigment(7, 0.05, curves.values)
    >>> toned = strand_fibres(pigment, curves.values, tone={"violet": 6.0}, grey_percent=30)
    >>> grey_look(toned, 30, 0, curves).tint
    'blue-violet'
    """
    if fibres.white is None:
        return None
    path, untoned = path or natural_path(curves), white_lab(curves.values)
    tint = tone_direction(fibres.white, untoned, curves)
    return GreyLook(
        grey_percent=float(grey_percent),
        resistant_percent=float(resistant_percent),
        pigmented=np.asarray(fibres.pigmented),
        white=np.asarray(fibres.white),
        blend=np.asarray(fibres.blend),
        warmth=float(path.warmth(fibres.pigmented)),
        blend_warmth=float(path.warmth(fibres.blend)),
        tint=str(tint.excess_wheel) if tint.needed else "",
        tinted_by=float(delta_e_2000(fibres.white, untoned)),
    )
