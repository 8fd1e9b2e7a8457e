"""The time line in pictures: bars that name every minute, told apart without colour too."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from lift.practice.time_line import PLACES, Span
from lift.show import style
from lift.words import say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LOOKS: Any = {
    "not_lifted": {"facecolor": style.FAINT},
    "inside": {"facecolor": style.COOL, "edgecolor": style.COOL},
    "too_warm": {"facecolor": style.PAPER, "edgecolor": style.WARM, "hatch": "////"},
    "too_light": {"facecolor": style.PAPER, "edgecolor": style.SOFT, "hatch": "...."},
    "past_limit": {"facecolor": style.SOFT},
}
EDGE: Any = {"edgecolor": style.SOFT, "lw": 0.4, "zorder": 2.2}


def draw_spans(axes: Axes, spans: Iterable[Span], y: float, height: float, **more: Any) -> None:
    """Lay the spans of a time line along one row, `height` high about `y`."""
    for span in spans:
        look = EDGE | LOOKS[span.place] | more
        axes.barh(y, span.ends - span.starts, height, span.starts, **look)


def name_spans(
    axes: Axes, spans: Iterable[Span], below: float = 0.16, columns: int = len(PLACES)
) -> None:
    """Name the places that occur under a picture, `below` its axes [share of their height]."""
    names = span_handles(spans)
    legend = axes.legend(
        handles=names, loc="upper left", bbox_to_anchor=(0.0, -below), borderaxespad=0.0,
        ncols=min(len(names), columns), columnspacing=1.0, handlelength=1.6, fontsize="small",
    )  # fmt: skip
    # A second legend would take the place of the first; as an artist it would be clipped.
    axes.add_artist(legend)
    legend.set_clip_on(False)


def place_key(places: Iterable[str]) -> str:
    """What the bars of some places look like, in words, in the order of time."""
    found = set(places)
    looks = [say(f"place.look.{p}") for p in PLACES if p in found]
    # Wrapped between looks only.
    return say("places", looks=[look.replace(" ", "\u00a0") for look in looks])


def span_handles(spans: Iterable[Span], **more: Any) -> list[Any]:
    """Entries of a legend for the places that occur, in the order of time."""
    from matplotlib.patches import Patch

    found = {span.place for span in spans}
    return [
        Patch(label=say(f"place.{place}"), **(EDGE | LOOKS[place] | more))
        for place in PLACES
        if place in found
    ]
