"""What a notebook shows of a result: what it comes to, its picture, its cautions."""

from __future__ import annotations

from html import escape
from typing import Any

from lift.show.plots.encoded import opened, tag
from lift.show.results.facts import facts, headline, warned
from lift.show.results.pictures import picture_of

_LEFT = "text-align: left; vertical-align: top"


def html_of(result: Any) -> str:
    """HTML of a result, safe in every viewer: no script, no style sheet."""
    kind, head = type(result).__name__, headline(result)
    said = tag("strong", escape(kind)) + escape(f": {head}" if head else "")
    rows = "".join(
        tag("tr", tag("th", escape(label), scope="row", style=_LEFT)
            + tag("td", escape(text), style=_LEFT))
        for label, text in facts(result)
    )  # fmt: skip
    drawn = picture_of(result)
    shown = "" if drawn is None else drawn._repr_html_()
    beware = opened("br").join(map(escape, warned(result)))
    care = tag("p", tag("small", beware)) if beware else ""
    return tag("div", tag("p", said) + tag("table", tag("tbody", rows)) + shown + care)
