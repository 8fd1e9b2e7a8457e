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
    from lift.model.curves import CurveSet
    from lift.photo.measured import Measured
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

    Raises
    ------
    LiftError
        For photographs without a chart or hair, and for more or fewer of these than photographs.
    """
    from lift.photo.chart import read_points
    from lift.photo.measure import measure

    many = len(paths)
    for name, given in (("chart", charts), ("hair", hairs)):
        if many and not given:
            raise LiftError("cli.photo.needs", name=name, what=note(f"cli.photo.needs.{name}"))
        if len(given) not in ({1, many} if many else {0}):
            raise LiftError("cli.photo.each", name=name, given=len(given), photos=many)
    each = (points if len(points) == many else [*points] * many for points in (charts, hairs))
    return [
        (path, measure(path, read_points(chart), read_points(hair), curves=curves))
        for path, chart, hair in zip(paths, *each, strict=True)
    ]


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
