"""``lift tune``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lift.cli import options
from lift.errors import LiftError, check_number

if TYPE_CHECKING:
    from lift.model.curves import CurveSet


@click.command("tune", short_help="Fit curves to measured swatches.")
@click.argument("swatches_file", metavar="SWATCHES")
@click.option("-o", "--output", metavar="FILE", help="Write the tuned curve set (TOML).")
@click.option("--conditions", metavar="FILE", help="Conditions of a CxF file's objects (CSV).")
@click.option("--free", metavar="NAME,...", multiple=True, help="Free these, not the usual rates.")
@click.option("--fix", metavar="NAME[=VALUE]", multiple=True, help="Hold one, at a value.")
@click.option("--tie", metavar="A=[X*]B", multiple=True, help="Let one follow another.")
@click.option("--starts", metavar="N", default="4", show_default=True, help="Starts, 1 to 50.")
@click.option("--seed", metavar="N", default="1", show_default=True, help="Seed of the starts.")
@click.option("--coverage", metavar="P", default="0.9", show_default=True, help="Of intervals.")
@click.option("--squares", is_flag=True, help="Plain least squares, not the robust loss.")
@click.option("--one-rate", is_flag=True, help="Let no swatch differ from others in rate.")
@click.option("--skip-left-out", is_flag=True, help="Do not predict swatches left out.")
@click.option("--bayes", is_flag=True, help="Sample the posterior; the curve set carries it.")
@click.option("--bands", "bands_file", metavar="FILE", help="With --bayes: draw its bands.")
@click.option("--draws", "draws_file", metavar="FILE", help="With --bayes: draw its draws.")
@click.option("--html", "page_file", metavar="FILE", help="Write one self-contained page.")
@options.curves_option
@options.mixtures_option
@options.plot_option
@options.json_option
def command(
    swatches_file: str,
    output: str | None,
    conditions: str | None,
    free: tuple[str, ...],
    fix: tuple[str, ...],
    tie: tuple[str, ...],
    starts: str,
    seed: str,
    coverage: str,
    squares: bool,
    one_rate: bool,
    skip_left_out: bool,
    bayes: bool,
    bands_file: str | None,
    draws_file: str | None,
    page_file: str | None,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Fit stage curves to measured swatches, and say how well they are then known.

    Each swatch has a starting level of its own, which its readings decide.
    """
    from lift.research.posterior.bayes import sample_posterior
    from lift.research.posterior.sampling import require_sampler
    from lift.research.swatches.swatch_file import read_swatches
    from lift.research.tuning.curve_files import named_after, tuned_curves
    from lift.research.tuning.problem import parse_tie
    from lift.research.tuning.tune import tune
    from lift.research.tuning.tune_report import to_dict

    picture = None if plot_file is None else options.plot_path(plot_file)
    for path in (output, page_file):
        if path is not None and not Path(path).resolve().parent.is_dir():
            raise LiftError(f"folder {str(Path(path).parent)!r} of {path!r} does not exist")
    many = int(check_number("starts", starts, 1, 50))
    first = int(check_number("seed", seed, 0, 2**32 - 1))
    share = check_number("coverage", coverage, 0.01, 0.999)
    bands, draws = (None if f is None else options.plot_path(f) for f in (bands_file, draws_file))
    if bayes:
        require_sampler()
    elif bands or draws:
        raise LiftError("--bands and --draws need --bayes")
    ties = [parse_tie(text) for text in tie]
    curves, names = _held(options.read_curves(curves_file), free, fix, [t.name for t in ties])
    swatches = read_swatches(swatches_file, conditions, options.known_mixtures())
    with options.progress_bar() as progress:
        result = tune(
            swatches,
            curves,
            names,
            ties,
            loss="linear" if squares else "soft_l1",
            own_rates=not one_rate,
            starts=many,
            seed=first,
            coverage=share,
            leave_swatches_out=not skip_left_out,
            progress=progress,
        )
    posterior = None
    if bayes:
        with options.progress_bar() as progress:
            posterior = sample_posterior(
                result.problem,
                seed=first,
                progress=lambda done: progress("sampling", round(100 * done), 100),
            )
        if bands is not None or draws is not None:
            from lift.show.plots.bayes_plots import save_pictures

            save_pictures(posterior, bands, draws)
    if output is not None:
        tuned = tuned_curves(result, named_after(output))
        (tuned if posterior is None else posterior.curves(tuned)).save(output)
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.tune_plots import plot_tuning

        save_figure(plot_tuning(result), picture)
    if page_file is not None:
        from lift.show.report.tune_page import write_page

        write_page(result, Path(page_file))
    if as_json:
        options.print_json(
            {**to_dict(result), "posterior": None if posterior is None else posterior.to_dict()}
        )
    else:
        from lift.show.terminal.research import print_tuning

        print_tuning(result)
        if posterior is not None:
            from lift.show.terminal.bayes import print_posterior

            print_posterior(posterior)
        for word, path in (
            ("Curve set", output),
            ("Picture", plot_file),
            ("Bands", bands_file),
            ("Draws", draws_file),
            ("Page", page_file),
        ):
            if path is not None:
                click.echo(f"{word}: {path}")
    if not result.converged or (posterior is not None and not posterior.converged):
        sys.exit(1)


def _held(
    curves: CurveSet, free: tuple[str, ...], fix: tuple[str, ...], tied: list[str]
) -> tuple[CurveSet, list[str]]:
    """Curve set with the fixed values put in, and the names of what is free."""
    from lift.errors import check_choice
    from lift.research.tuning.problem import FREE

    names = [n.strip() for text in free for n in text.split(",") if n.strip()] or list(FREE)
    values: dict[str, Any] = {}
    for text in fix:
        name, equals, value = (part.strip() for part in text.partition("="))
        parameter = curves[check_choice("fixed parameter", name, curves)]
        if equals:
            values[name] = check_number(
                f"fixed {name}", value, parameter.low, parameter.high, parameter.unit
            )
        names = [n for n in names if n != name]
    if values:
        curves = curves.replace(**values)
    return curves, [n for n in names if n not in tied]
