"""Options of photographs that stand for colours, and what is measured in them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lift.cli import options
from lift.errors import LiftError
from lift.photo.editions import EDITIONS
from lift.words import note, say

if TYPE_CHECKING:
    from lift.model.curves import CurveSet
    from lift.photo.measure import Chart
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
    from lift.photo.picture import as_picture

    many = len(paths)
    if many and not hairs:
        raise LiftError("cli.photo.needs_hair")
    for name, given in (("chart", charts), ("hair", hairs)):
        if len(given) not in ({1, many} if many else {0}) and (given or name == "hair"):
            raise LiftError("cli.photo.each", name=name, given=len(given), photos=many)
    corners: Sequence[str | None] = charts or [None]
    each = (given if len(given) == many else [*given] * many for given in (corners, hairs))
    return [
        (path, open_or_find(as_picture(path), chart).measure(read_points(hair), curves=curves))
        for path, chart, hair in zip(paths, *each, strict=True)
    ]


def open_or_find(picture: Picture, corners: str | None, edition: str = EDITIONS[0]) -> Chart:
    """Chart at corners as typed; where nobody gave any it is looked for, and told on stderr."""
    from lift.photo.chart import read_points
    from lift.photo.finder import find_chart
    from lift.photo.measure import open_chart

    if corners is not None:
        return open_chart(picture, read_points(corners), edition=edition)
    found = find_chart(picture, edition=edition)
    typed = " ".join(f"{x:.1f},{y:.1f}" for x, y in found.corners)
    click.echo(say("cli.photo.found", corners=typed), err=True)
    return found


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
