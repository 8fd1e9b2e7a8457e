"""``lift curves show``, ``compare`` and ``cite``."""

from __future__ import annotations

from pathlib import Path

import click

from lift.cli import options
from lift.errors import check_choice
from lift.words import note

FORMS = ("bibtex", "cff")


@options.group("curves")
def command() -> None:
    """Show every number of a curve set, or what two sets differ in."""


@command.command("show", cls=options.SaidCommand, says="curves_show")
@options.argument("file", metavar="file", required=False)
@options.unsealed_option
@options.plot_option
@options.json_option
def show(file: str | None, picture: Path | None, as_json: bool) -> None:
    """All parameters of a set."""
    from lift.show.plots.curves_plots import plot_curves
    from lift.show.terminal.research import print_curves

    curves = options.read_curves(file)
    options.answer(curves, as_json, print_curves, (picture, plot_curves))


@command.command("cite", cls=options.SaidCommand, says="curves_cite")
@options.argument("file", metavar="file")
@options.unsealed_option
@options.option("--form", metavar="form", says=note("cli.curves.form", forms=FORMS))
def cite(file: str, form: str | None) -> None:
    """Print the reference of a curve set."""
    from lift.research.tuning import citing

    wanted = FORMS if form is None else (check_choice("name.citation_form", form, FORMS),)
    curves = options.read_curves(file)
    texts = [{"bibtex": citing.bibtex, "cff": citing.cff}[each](curves) for each in wanted]
    click.echo("\n".join(texts), nl=False)


@command.command("compare", cls=options.SaidCommand, says="curves_compare")
@options.argument("first", metavar="first")
@options.argument("second", metavar="second")
@options.unsealed_option
@options.plot_option
@options.json_option
def compare(first: str, second: str, picture: Path | None, as_json: bool) -> None:
    """What two curve sets differ in."""
    from lift.research.tuning.curve_files import compare as compare_sets
    from lift.show.plots.curves_plots import plot_comparison
    from lift.show.terminal.research import print_comparison

    one, two = (options.read_curves(None if f == "default" else f) for f in (first, second))
    found = compare_sets(one, two)
    options.answer(found, as_json, print_comparison, (picture, plot_comparison))
