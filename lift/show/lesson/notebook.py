"""What a notebook shows: pictures that can be read aloud, and tables, as plain HTML.

Plain HTML is what every viewer of notebooks shows without a kernel and without trusting the
file; the alt text of an ``image/png`` output is dropped by some.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from io import BytesIO
from typing import TYPE_CHECKING, Any

from lift.show import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from lift.practice.exercise import Question

WIDTH_PIXELS = 900
PIXELS_PER_INCH = (80, 140)
"""A picture fills the page of a notebook, unless its letters would become too small or large."""


@dataclass(frozen=True)
class Shown:
    """Something for the last line of a cell.

    Parameters
    ----------
    html : str
        What a notebook shows.
    text : str
        The same in words, for a terminal or a screen reader.
    """

    html: str
    text: str

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"text/html": self.html, "text/plain": self.text}


def figure_with_alt(drawn: Axes | Figure, text: str) -> Shown:
    """Show a drawing as PNG, with its titles and `text` as alt text.

    Parameters
    ----------
    drawn : matplotlib Axes or Figure
        What to show.
    text : str
        What is to be seen, for those who cannot see it; the titles, which state the finding,
        are put before it.

    Returns
    -------
    Shown
    """
    from matplotlib import rc_context
    from matplotlib.figure import Figure
    from PIL import Image

    figure: Any = drawn if isinstance(drawn, Figure) else drawn.get_figure(root=True)
    alt = ". ".join([*(title.rstrip(".") for title in _titles(figure)), text])
    drawn_pixels, png = BytesIO(), BytesIO()
    low, high = PIXELS_PER_INCH
    dpi = min(max(WIDTH_PIXELS / figure.get_figwidth(), low), high)
    with rc_context(style.RC):
        figure.savefig(drawn_pixels, format="png", dpi=dpi)
    # Packed again without transparency: half the size, and a notebook holds many.
    with Image.open(drawn_pixels) as image:
        image.convert("RGB").save(png, "PNG", optimize=True)
    return picture(png.getvalue(), "image/png", alt)


def picture(data: bytes, mime: str, alt: str) -> Shown:
    """Show encoded picture data, such as ``image/png``, with alt text."""
    return Shown(image_html(data, mime, alt), alt)


def image_html(data: bytes, mime: str, alt: str) -> str:
    """HTML of a picture that carries its own data."""
    source = f"data:{mime};base64,{b64encode(data).decode('ascii')}"
    return (
        f'<img alt="{escape(alt)}" src="{source}" decoding="sync" '
        'style="max-width: 100%; height: auto">'
    )


def foldable(shown: Shown, summary: str, *, unfolded: bool) -> Shown:
    """Put something behind a line that folds it away; works without a kernel."""
    state = " open" if unfolded else ""
    return Shown(
        f'<details{state}><summary style="cursor: pointer">{escape(summary)}</summary>'
        f"{shown.html}</details>",
        f"{summary}\n{shown.text}",
    )


def table(head: Sequence[str], rows: Iterable[Sequence[object]], caption: str) -> Shown:
    """Show rows as a table whose caption states what is to be seen.

    Parameters
    ----------
    head : sequence of str
        Column heads, with units.
    rows : iterable of sequences
        Cells, shown as ``str`` gives them.
    caption : str
        Stands above the table.

    Returns
    -------
    Shown
    """
    body = [[str(cell) for cell in row] for row in rows]
    left = 'style="text-align: left; vertical-align: top"'
    heads = "".join(f'<th scope="col" {left}>{escape(h)}</th>' for h in head)
    lines = "".join(
        "<tr>" + "".join(f"<td {left}>{escape(cell)}</td>" for cell in row) + "</tr>"
        for row in body
    )
    html = (
        f'<table><caption style="text-align: left; font-weight: bold">{escape(caption)}</caption>'
        f"<thead><tr>{heads}</tr></thead><tbody>{lines}</tbody></table>"
    )
    text = "\n".join([caption, "; ".join(head), *("; ".join(row) for row in body)])
    return Shown(html, text)


def items(lines: Iterable[str], title: str) -> Shown:
    """Show sentences as a list under a bold title."""
    listed = list(lines)
    html = f"<p><strong>{escape(title)}</strong></p><ul>"
    html += "".join(f"<li>{escape(line)}</li>" for line in listed) + "</ul>"
    return Shown(html, "\n".join([title, *(f"- {line}" for line in listed)]))


def _titles(figure: Any) -> list[str]:
    found = [] if figure.get_suptitle() == "" else [figure.get_suptitle()]
    for axes in figure.get_axes():
        found += [axes.get_title(loc) for loc in ("left", "center", "right")]
    return [" ".join(t.split()) for t in found if t]


def exercise(questions: Iterable[Question]) -> Shown:
    """Show questions with their answers folded away."""
    asked = list(questions)
    answers = [f"{q.answer} {q.why}" for q in asked]
    parts = ["<ol>"]
    for question, answer in zip(asked, answers, strict=True):
        folded = foldable(Shown(f"<p>{escape(answer)}</p>", answer), "answer", unfolded=False)
        parts.append(f"<li>{escape(question.text)}{folded.html}</li>")
    text = "\n".join(f"{q.text}\n  {a}" for q, a in zip(asked, answers, strict=True))
    return Shown("".join([*parts, "</ol>"]), text)
