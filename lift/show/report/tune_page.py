"""A tuning as one HTML file that needs nothing beside it."""

from __future__ import annotations

import io
from collections.abc import Callable
from html import escape
from typing import Any

from lift.answers import to_dict
from lift.errors import Floats
from lift.files import NamedPath, write_whole
from lift.research.tuning.findings import findings
from lift.research.tuning.tune import Tuning
from lift.show import style
from lift.show.plots.influence_plots import plot_influence
from lift.show.plots.tune_plots import (
    plot_correlations,
    plot_differences,
    plot_estimates,
    plot_held_out,
    plot_series,
)
from lift.show.template import template
from lift.words import say, says


def tuning_page(tuning: Tuning) -> str:
    """HTML text of a tuning: a whole document, pictures inline, which carries its JSON form too."""
    from jinja2.utils import htmlsafe_json_dumps
    from markupsafe import Markup

    def drawn(plot: Callable[[Tuning], Any], code: str) -> Markup:
        return Markup(_svg(plot, tuning, say(f"report.{code}")))  # our own drawing

    def heads(*codes: str) -> list[str]:
        return [say(f"head.{code}") for code in codes]

    table = tuning.problem.swatches
    levels = ["-" if level != level else f"{level:g}" for level in table.level]
    means = tuning.per_swatch(tuning.difference)
    largest = [tuning.difference[table.swatch == i].max() for i in range(len(table.names))]
    return template("lift.show.report", "tuning.html.jinja").render(
        title=say("report.title", source=table.source or say("tuning.swatches")),
        style=style,
        invented=table.invented,
        findings=says(findings(tuning)),
        summary=_summary(tuning),
        parameter_heads=heads(
            *("parameter", "before", "median", "error", "range", "unit", "verdict")
        ),
        parameters=[
            (
                *(e.name, f"{e.before:.4g}", f"{e.value:.4g}", f"{e.standard_error:.2g}"),
                say("tuning.span", low=e.low, high=e.high),
                *(e.unit, say(f"verdict.{e.verdict}")),
            )
            for e in tuning.estimates
        ],
        swatch_heads=heads(
            *("swatch", "level_judged", "level_fitted", "rate", "mean_dE00", "largest")
        ),
        swatches=[
            (name, level, f"{start:.2f}", f"{rate:.2f}", f"{mean:.2f}", f"{most:.2f}")
            for name, level, start, rate, mean, most in zip(
                table.names, levels, tuning.starts, tuning.rates, means, largest, strict=True
            )
        ],
        words=heads("parameter", "range", "unit", "verdict", "swatch"),
        figures={
            "parameters": [
                drawn(plot_estimates, "estimates"),
                drawn(plot_correlations, "correlations"),
            ],
            "swatches": [drawn(plot_series, "series"), drawn(plot_differences, "differences")],
            "unseen": [
                drawn(plot_held_out, "held_out"),
                *([drawn(plot_influence, "influence")] if tuning.influences else []),
            ],
        },
        carried=htmlsafe_json_dumps(to_dict(tuning), allow_nan=False),
    )


def write_page(tuning: Tuning, path: NamedPath) -> None:
    """Write the page, whole or not at all."""
    write_whole(path, tuning_page(tuning), "file.page")


def _summary(tuning: Tuning) -> list[tuple[str, str]]:
    table = tuning.problem.swatches
    counts = {"readings": len(table), "swatches": len(table.names)}
    before = say("tuning.before", mean=tuning.difference_before.mean())
    spread = tuning.spread
    rates = say("tuning.rates", spread=spread) if spread is not None else say("report.no_rates")
    rows = [
        ("converged", say("provenance.converged", converged=tuning.converged)),
        ("draws", str(tuning.posterior.sampler)),
        ("starts", say("tuning.starts", agreed=tuning.agreed, tried=tuning.tried)),
        ("readings", say("provenance.readings", **counts)),
        ("sha256", tuning.whole.sha256),
        ("misfit", _words(tuning.difference) + before),
        ("scatter", say("tuning.scatter", scale=tuning.scatter_scale)),
        ("rates", rates),
        ("aicc", say("tuning.aicc", aicc=tuning.aicc)),
        ("intervals", f"{tuning.coverage:.0%}"),
    ]
    if tuning.held_out is not None:
        rows.append(("left_out", _words(tuning.held_out.tuned)))
        rows.append(("shipped", _words(tuning.held_out.default)))
    return [(say(f"head.{code}"), said) for code, said in rows]


def _words(values: Floats) -> str:
    return say("tuning.difference", mean=values.mean(), largest=values.max())


def _svg(plot: Callable[[Tuning], Any], tuning: Tuning, words: str) -> str:
    """Picture as inline SVG, with words for those who cannot see it."""
    from matplotlib import rc_context

    out = io.StringIO()
    with rc_context(style.RC):
        made = plot(tuning)
        figure: Any = getattr(made, "figure", None) or made
        figure.savefig(out, format="svg", metadata={"Date": None})
    svg = out.getvalue()
    svg = svg[svg.index("<svg") :]
    return svg.replace("<svg", f'<svg role="img" aria-label="{escape(words)}"', 1)
