"""How to take a photograph that can be measured: one page, and the drawing on it."""

from __future__ import annotations

from functools import cache
from typing import Any

from lift.errors import check_choice
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.optics.colorimetry import lab_to_srgb, srgb_to_hex
from lift.photo.editions import patch_lab
from lift.photo.measure import CAUTIONS
from lift.show.card.html import PAPERS
from lift.show.lock.svg import lock_svg
from lift.show.template import template
from lift.words import say, says

LINES = tuple(
    f"guide.line.{each}" for each in ("light", "chart", "hair", "camera", "off", "bright")
)
"""What to do; the first four are numbered in the drawing."""

DRAWN_LEVEL = 6.0
LOCK = {"x": "256", "y": "42", "width": "70", "height": "94"}
"""Hair in the drawing, and where it lies."""


def guide_html(paper: str = "A4") -> str:
    """Document of one page for a paper, ``A4`` or ``Letter``.

    Raises
    ------
    LiftError
        For another paper.
    """
    size = PAPERS[check_choice("card.paper", paper, PAPERS)]
    told = {"cautions": says(CAUTIONS), "lines": guide_lines(), "drawing": guide_drawing()}
    return _filled("guide.html.jinja", paper=size, **told)


def guide_lines() -> list[str]:
    """What to do, in order."""
    return [say(code) for code in LINES]


def guide_drawing() -> Any:
    """SVG of it, to stand in HTML: chart beside hair, and what spoils a photograph."""
    from markupsafe import Markup

    hair = natural_path(default_curves()).lab_of_level(DRAWN_LEVEL)
    lock = Markup(lock_svg(hair, "guide-lock", say("guide.hair"), **LOCK))
    return Markup(_filled("photo_guide.svg.jinja", colours=chart_colours(), lock=lock))


@cache
def chart_colours() -> tuple[str, ...]:
    """The chart's patches as colours of a screen, ``#rrggbb``, row by row."""
    return tuple(srgb_to_hex(lab_to_srgb(lab)[0]) for lab in patch_lab())


def _filled(name: str, **content: Any) -> str:
    return template("lift.show.card", name).render(**content)
