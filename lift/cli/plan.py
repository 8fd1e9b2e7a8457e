"""``lift plan``."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from lift.cli import options


@options.command("plan")
@options.argument("file", metavar="file")
@options.option("--strand", metavar="file", says="cli.preview.strand")
@options.curves_option
@options.mixtures_option
@options.plot_option
@options.brief_option
@options.json_option
def command(
    file: str,
    strand: str | None,
    curves_file: str | None,
    picture: Path | None,
    brief: bool,
    as_json: bool,
) -> None:
    """Plan the service of a scenario file."""
    from lift.practice.scenario.scenario_file import load_scenario
    from lift.practice.service.plan import plan
    from lift.show.plots.plan_plots import plot_plan
    from lift.show.terminal.plan import print_plan

    scenario, curves = (
        load_scenario(file, options.known_mixtures()),
        options.read_curves(curves_file),
    )
    latent = None
    if strand is not None:
        from lift.practice.trial.strand_of import strand_of

        latent = strand_of(scenario, strand, curves)
    result = plan(scenario, curves, latent=latent)
    options.answer(result, as_json, partial(print_plan, brief=brief), (picture, plot_plan))
