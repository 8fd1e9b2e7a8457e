"""A picture as HTML that carries its own data, with alt text; plain, safe in every viewer."""

from __future__ import annotations

from base64 import b64encode
from html import escape
from io import BytesIO
from typing import TYPE_CHECKING

from lift.show import style
from lift.show.plots.figure import alt_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDTH_PIXELS = 900
PIXELS_PER_INCH = (80, 140)
"""A picture fills the page of a notebook, unless its letters would become too small or large."""


def opened(name: str, **attributes: str) -> str:
    """Opening tag with its attributes."""
    said = [f'{key}="{escape(value)}"' for key, value in attributes.items()]
    return f"<{' '.join((name, *said))}>"


def tag(name: str, inside: str, **attributes: str) -> str:
    """Tag around what is HTML already."""
    return f"{opened(name, **attributes)}{inside}</{name}>"


def image_html(data: bytes, mime: str, alt: str) -> str:
    """HTML of a picture that carries its own data."""
    source = f"data:{mime};base64,{b64encode(data).decode('ascii')}"
    fits = "max-width: 100%; height: auto"
    return opened("img", alt=alt, src=source, decoding="sync", style=fits)


def figure_html(figure: Figure, text: str = "") -> tuple[str, str]:
    """HTML of a drawing as PNG, and its alt text, see `lift.show.plots.figure.alt_text`."""
    from matplotlib import rc_context
    from PIL import Image

    alt = alt_text(figure, text)
    drawn_pixels, png = BytesIO(), BytesIO()
    low, high = PIXELS_PER_INCH
    dpi = min(max(WIDTH_PIXELS / figure.get_figwidth(), low), high)
    with rc_context(style.RC):
        figure.savefig(drawn_pixels, format="png", dpi=dpi)
    # Packed again without transparency: half the size, and a notebook holds many.
    with Image.open(drawn_pixels) as image:
        image.convert("RGB").save(png, "PNG", optimize=True)
    return image_html(png.getvalue(), "image/png", alt), alt
