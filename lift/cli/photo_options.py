"""Options of photographs that stand for colours, and what is measured in them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lift.cli import options
from lift.errors import LiftError
from lift.words import note, say

if TYPE_CHECKING:
    from lift.errors import Floats
    from lift.model.curves import CurveSet
    from lift.photo.measured import Measured
    from lift.photo.picture import Picture
    from lift.practice.trial.observation import Observation

chart_and_hair = options.stack(
    options.option("--chart", metavar="corners", multiple=True, says="cli.photo.chart"),
    options.option("--hair", metavar="outline", multiple=True, says="cli.photo.hair"),
)
photo_option = options.stack(
    options.option("--photo", metavar="photo", says="cli.photo.photo"), chart_and_hair
)


def measured_in(
    paths: Sequence[str], charts: Sequence[str], hairs: Sequence[str], curves: CurveSet
) -> list[tuple[str, Measured]]:
    """Measure photographs, each by its own chart and hair, or all by the only one.

    Without any chart each is looked for.

    Raises
    ------
    LiftError
        For photographs without hair, and for more or fewer charts or hair than photographs.
    """
    from lift.photo.chart import read_points
    from lift.photo.measure import measure
    from lift.photo.picture import as_picture

    many = len(paths)
    if many and not hairs:
        raise LiftError("cli.photo.needs_hair")
    pictures = [as_picture(path) for path in paths]
    corners = [read_points(chart) for chart in charts] or [find_corners(it) for it in pictures]
    regions = [read_points(hair) for hair in hairs]
    for name, given in (("chart", corners), ("hair", regions)):
        if len(given) not in ({1, many} if many else {0}):
            raise LiftError("cli.photo.each", name=name, given=len(given), photos=many)
    each = (points if len(points) == many else points * many for points in (corners, regions))
    return [
        (path, measure(picture, chart, hair, curves=curves))
        for path, picture, chart, hair in zip(paths, pictures, *each, strict=True)
    ]


def find_corners(picture: Picture) -> Floats:
    """Corners of the chart where nobody gave them; where that is, is told on stderr."""
    from lift.photo.finder import find_chart

    corners = find_chart(picture)
    typed = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
    click.echo(say("cli.photo.found", corners=typed), err=True)
    return corners


def read_seen(
    texts: Sequence[str], charts: Sequence[str], hairs: Sequence[str], curves: CurveSet
) -> tuple[list[Observation], list[tuple[str, Measured]]]:
    """Read observations as typed, of which some name a photograph; and what was measured."""
    from lift.practice.trial.observation import parse_seen
    from lift.practice.trial.photographed import photographed

    named = [what for _, _, what in (text.partition(":") for text in texts) if is_picture(what)]
    measured = measured_in(named, charts, hairs, curves)
    left, seen = iter(measured), []
    for text in texts:
        minutes, _, what = text.partition(":")
        if is_picture(what):
            seen.append(photographed(minutes, next(left)[1]))
        else:
            seen.append(parse_seen(text))
    return seen, measured


def is_picture(name: str) -> bool:
    """Whether a name is that of a picture, by its ending."""
    from lift.photo.picture import ENDINGS

    return Path(name).suffix.lower() in ENDINGS


def tell_measured(found: Sequence[tuple[str, Measured]], *, aside: bool) -> None:
    """Say what was measured in photographs and what is to be said of it; `aside`: on stderr."""
    from lift.practice.trial.photographed import photographed

    for path, measured in found:
        seen = photographed(0.0, measured).seen
        told = note("cli.photo.measured", path=path, seen=seen, level=measured.level)
        for line in (told, *measured.warnings, *measured.cautions):
            click.echo(say(line), err=aside)
