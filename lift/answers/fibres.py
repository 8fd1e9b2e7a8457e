"""Part of an answer about grey hair: both kinds of its fibres, and what is seen of them."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import rounded, said
from lift.practice.fibres import GreyLook
from lift.quantities import Lab


class FibresPart(Part):
    """Grey hair as two kinds of hair: CIELAB of its pigmented and of its white fibres.

    Warmth, stage, window, risk and tone are those of the pigmented fibres. `blend` is both as the
    eye blends them, `blend_warmth` how warm that is, `white_tint` the family of the painter's
    wheel that tone has given the white fibres, empty where none is noticed, and `white_tinted_by`
    how far they are from untoned ones [dE00].
    """

    grey_percent: float
    resistant_percent: float
    pigmented: Lab
    white: Lab
    blend: Lab
    warmth: float
    blend_warmth: float
    white_tint: str
    white_tinted_by: float
    text: list[str]
    text_codes: list[Code]


def fibres_part(look: GreyLook | None, limit: float | None = None) -> FibresPart | None:
    """Describe both kinds of fibres; `limit` is the one of warmth, where there is one [dC*]."""
    if look is None:
        return None
    return FibresPart(
        grey_percent=look.grey_percent,
        resistant_percent=look.resistant_percent,
        pigmented=rounded(look.pigmented),
        white=rounded(look.white),
        blend=rounded(look.blend),
        warmth=rounded(look.warmth),
        blend_warmth=rounded(look.blend_warmth),
        white_tint=look.tint,
        white_tinted_by=rounded(look.tinted_by),
        **said(text=look.notes(limit)),
    )
