"""``lift next``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lift.cli import options, strand_options
from lift.cli.swatch_options import as_read_option, read_swatches
from lift.errors import check_number
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.quantities import MINUTES, quantities_of
from lift.words import say

if TYPE_CHECKING:
    from lift.model.curves import CurveSet
    from lift.research.swatches.table import Swatches


@options.command("next")
@options.argument("swatches_file", metavar="swatches")
@options.option("--conditions", metavar="file", says="cli.option.conditions")
@as_read_option
@strand_options.hair_options
@strand_options.mixture_options
@strand_options.minutes_option
@options.option("--quantity", metavar="name", default="warmth", says="cli.next.quantity")
@options.option("--count", metavar="n", default="1", says="cli.next.count")
@options.option("--repeats", metavar="n", says="cli.next.repeats")
@options.option("--cost-tress", metavar="x", says="cli.next.cost_tress")
@options.option("--cost-minute", metavar="x", says="cli.next.cost_minute")
@options.option("--cost-reading", metavar="x", says="cli.next.cost_reading")
@options.option("--try-mixtures", metavar="kinds", says="cli.next.mixtures")
@options.option("--try-levels", metavar="numbers", default="2,3,4,5,6,7,8", says="cli.next.levels")
@options.option("--try-volumes", metavar="volumes", default="10,20,30,40", says="cli.next.volumes")
@options.option("--try-minutes", metavar="times", default="5,10,20,35,50", says="cli.next.minutes")
@options.curves_option
@options.plot_option
@options.json_option
def command(
    swatches_file: str,
    conditions: str | None,
    as_read: bool,
    minutes: str,
    quantity: str,
    count: str,
    repeats: str | None,
    cost_tress: str | None,
    cost_minute: str | None,
    cost_reading: str | None,
    try_mixtures: str | None,
    try_levels: str,
    try_volumes: str,
    try_minutes: str,
    curves_file: str | None,
    picture: Path | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Say which swatch, strength and time would shrink the interval of a prediction most."""
    import numpy as np

    from lift.research.planning.choice import Costs, choices
    from lift.research.planning.next_swatch import Asked, NextPlan, plan_next
    from lift.show.plots.design_plots import plot_plan
    from lift.show.terminal.bayes import print_plan

    asked = Asked(
        strand_options.read_hair(typed),
        strand_options.read_mixture(typed),
        MINUTES.number(minutes),
        quantity,
    )
    many = int(check_number("name.swatches", count, 1, 50))
    typed_costs = {"tress": cost_tress, "minute": cost_minute, "reading": cost_reading}
    given: dict[str, Any] = {key: cost for key, cost in typed_costs.items() if cost}
    costs = Costs(**given) if given else None
    averaged = options.number("name.repeats", repeats, 1, 1000)
    levels = options.numbers_of(quantities_of(Hair)["level"], try_levels)
    volumes = options.numbers_of(quantities_of(Mixture)["volume"], try_volumes)
    times = options.numbers_of(MINUTES, try_minutes)
    swatches = read_swatches(swatches_file, conditions, as_read=as_read)
    kinds = (
        options.names_of((try_mixtures,)) if try_mixtures else list(dict.fromkeys(swatches.kind))
    )
    curves = _with_posterior(options.read_curves(curves_file), swatches)
    plan = plan_next(
        asked,
        curves,
        choices(kinds, levels, volumes, times),
        count=many,
        repeats=float(np.median(swatches.repeats)) if averaged is None else averaged,
        scatter=swatches.scatter,
        costs=costs,
    )

    def tell(found: NextPlan) -> None:
        if dict(curves.provenance).get("data_sha256") not in (None, swatches.sha256):
            click.echo(say("next.other_swatches"))
        print_plan(found)

    options.answer(plan, as_json, tell, (picture, plot_plan))


def _with_posterior(curves: CurveSet, swatches: Swatches) -> CurveSet:
    """Curve set as it is when swatches gave it a posterior, else with one sampled from these."""
    if curves.posterior is not None and curves.validity is not None and curves.validity.measured:
        return curves
    from lift.research.posterior.bayes import sample_posterior
    from lift.research.posterior.problem import Problem

    with options.progress_bar() as progress:
        found = sample_posterior(
            Problem(swatches, curves),
            progress=lambda done: progress("step.sampling", round(100 * done), 100),
        )
    return found.curves(curves)
