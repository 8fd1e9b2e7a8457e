"""What a notebook shows: pictures that can be read aloud, and tables, as plain HTML.

Plain HTML is what every viewer of notebooks shows without a kernel and without trusting the
file; the alt text of an ``image/png`` output is dropped by some.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

from lift.practice.exercise import Question
from lift.show.plots.encoded import figure_html, image_html, tag
from lift.words import say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


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


def figure_with_alt(drawn: Axes | Figure, text: str = "") -> Shown:
    """Show a drawing as PNG, with alt text for those who cannot see it.

    Parameters
    ----------
    drawn : matplotlib Axes or Figure
        What to show.
    text : str
        What is to be seen; default: what the pictures say of themselves in numbers. The titles,
        which state the finding, are put before it.

    Examples
    --------
    >>> from lift.teach import figure_with_alt, plot_levels
    >>> figure_with_alt(plot_levels()).text[:54]
    'One level is one equal ratio: 1.7 times the melanin. T'
    """
    from matplotlib.figure import Figure

    figure: Any = drawn if isinstance(drawn, Figure) else drawn.get_figure(root=True)
    return Shown(*figure_html(figure, text))


def picture(data: bytes, mime: str, alt: str) -> Shown:
    """Show encoded picture data, such as ``image/png``, with alt text."""
    return Shown(image_html(data, mime, alt), alt)


def foldable(shown: Shown, summary: str, *, unfolded: bool) -> Shown:
    """Put something behind a line that folds it away; works without a kernel.

    Examples
    --------
    >>> from lift.teach import foldable, items
    >>> print(foldable(items(["violet"], "Dyes"), "open me", unfolded=False).text)
    open me
    Dyes
    - violet
    """
    line = tag("summary", escape(summary), style="cursor: pointer")
    state = " open" if unfolded else ""
    return Shown(f"<details{state}>{line}{shown.html}</details>", f"{summary}\n{shown.text}")


def table(head: Sequence[str], rows: Iterable[Sequence[object]], caption: str) -> Shown:
    """Show rows, as ``str`` gives their cells, under heads with units and a caption.

    Examples
    --------
    >>> from lift.teach import table
    >>> print(table(("dye", "dose"), [("violet", 2)], "One dye").text)
    One dye
    dye; dose
    violet; 2
    """
    body = [[str(cell) for cell in row] for row in rows]
    left = "text-align: left; vertical-align: top"
    heads = "".join(tag("th", escape(h), scope="col", style=left) for h in head)
    lines = "".join(
        tag("tr", "".join(tag("td", escape(cell), style=left) for cell in row)) for row in body
    )
    said = tag("caption", escape(caption), style="text-align: left; font-weight: bold")
    html = tag("table", said + tag("thead", tag("tr", heads)) + tag("tbody", lines))
    text = "\n".join([caption, "; ".join(head), *("; ".join(row) for row in body)])
    return Shown(html, text)


def items(lines: Iterable[object], title: str) -> Shown:
    """Show sentences as a list under a bold title.

    Examples
    --------
    >>> from lift.teach import items
    >>> print(items(["Wear gloves."], "First").text)
    First
    - Wear gloves.
    """
    listed = [str(line) for line in lines]
    html = f"<p><strong>{escape(title)}</strong></p><ul>"
    html += "".join(f"<li>{escape(line)}</li>" for line in listed) + "</ul>"
    return Shown(html, "\n".join([title, *(f"- {line}" for line in listed)]))


def exercise(questions: Sequence[Question]) -> Shown:
    """Show questions with their answers folded away.

    Examples
    --------
    >>> from lift.teach import class_exercise, exercise
    >>> exercise(class_exercise()).text.splitlines()[0][:45]
    'Natural level 6, medium fibre, lies under a c'
    """
    parts, texts = [], []
    for question in questions:
        answer = f"{question.answer} {question.why}"
        folded = Shown(f"<p>{escape(answer)}</p>", answer)
        shown = foldable(folded, say("lesson.answer"), unfolded=False).html
        parts.append(f"<li>{escape(str(question.text))}{shown}</li>")
        texts.append(f"{question.text}\n  {answer}")
    return Shown(f"<ol>{''.join(parts)}</ol>", "\n".join(texts))
