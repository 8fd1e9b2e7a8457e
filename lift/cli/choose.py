"""``lift choose``."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from lift.chemistry.strength import LIMIT_VOLUME
from lift.cli import options, strand_options
from lift.words import note


@options.command("choose")
@strand_options.hair_options
@options.option("--goal", metavar="goal", required=True, says="quantity.goal.help")
@options.option("--mixture", "kinds", metavar="kinds", multiple=True, says="cli.choose.mixture")
@options.mixtures_option
@options.option("--max-volume", metavar="volume", says=note("cli.choose.max", high=LIMIT_VOLUME))
@options.option("--powder/--no-powder", default=None, says="cli.choose.powder")
@options.option("--limit", metavar="minutes", says="cli.choose.limit")
@options.option("--strand", metavar="file", says="cli.preview.strand")
@options.curves_option
@options.plot_option
@options.brief_option
@options.json_option
def command(
    goal: str,
    kinds: tuple[str, ...],
    max_volume: str | None,
    powder: bool | None,
    limit: str | None,
    strand: str | None,
    curves_file: str | None,
    picture: Path | None,
    brief: bool,
    as_json: bool,
    **typed: Any,
) -> None:
    """Choose what to mix, when to rinse and what tones it."""
    from lift.practice.choosing.choose import choose
    from lift.practice.goal import parse_goal
    from lift.practice.window import TIME_LIMIT
    from lift.show.plots.choose_plots import plot_choice
    from lift.show.terminal.choose import print_choice

    hair = strand_options.read_hair(typed)
    curves = options.read_curves(curves_file)
    given: dict[str, Any] = {}
    if limit is not None:
        given["limit_minutes"] = TIME_LIMIT.parse(limit)
    if max_volume is not None:
        given["max_volume"] = options.number(
            "choose.max_volume", max_volume, 1.0, LIMIT_VOLUME, "vol"
        )
    if strand is not None:
        from lift.practice.trial.strand_file import load_strand

        given["latent"] = load_strand(strand).latent_for(hair, curves)
    found = choose(
        hair, parse_goal(goal), curves, mixtures=options.names_of(kinds), powder=powder, **given
    )
    options.answer(found, as_json, partial(print_choice, brief=brief), (picture, plot_choice))
