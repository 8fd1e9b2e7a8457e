"""``lift preview``."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from lift.cli import options, strand_options


@options.command("preview")
@strand_options.hair_options
@strand_options.mixture_options
@strand_options.minutes_option
@strand_options.goal_option
@options.option("--strand", metavar="file", says="cli.preview.strand")
@options.option("--why", "take_apart", is_flag=True, says="cli.preview.why")
@options.curves_option
@options.plot_option
@options.brief_option
@options.json_option
def command(
    minutes: str,
    goal: str | None,
    strand: str | None,
    take_apart: bool,
    curves_file: str | None,
    picture: Path | None,
    brief: bool,
    as_json: bool,
    **typed: Any,
) -> None:
    """Preview one strand."""
    from lift.practice.goal import parse_goal
    from lift.practice.preview import preview
    from lift.quantities import MINUTES
    from lift.show.plots.preview_plots import plot_preview
    from lift.show.terminal.preview import print_preview

    hair = strand_options.read_hair(typed)
    curves = options.read_curves(curves_file)
    latent = None
    if strand is not None:
        from lift.practice.trial.strand_file import load_strand

        latent = load_strand(strand).latent_for(hair, curves)
    result = preview(
        hair,
        strand_options.read_mixture(typed),
        MINUTES.parse(minutes),
        None if goal is None else parse_goal(goal),
        curves,
        latent=latent,
    )
    shown = partial(print_preview, take_apart=take_apart, brief=brief)
    options.answer(result, as_json, shown, (picture, plot_preview))
