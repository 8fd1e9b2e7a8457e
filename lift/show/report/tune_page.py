"""A tuning as one HTML file that needs nothing beside it."""

from __future__ import annotations

import io
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lift.files import write_whole
from lift.research.tuning.tune import Tuning
from lift.research.tuning.tune_report import findings, to_dict
from lift.show import style
from lift.show.plots.tune_plots import (
    plot_correlations,
    plot_differences,
    plot_estimates,
    plot_held_out,
    plot_series,
)
from lift.show.terminal.research import error_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def tuning_page(tuning: Tuning) -> str:
    """HTML text of a tuning: the same figures as the JSON form, which it carries too.

    Parameters
    ----------
    tuning : Tuning
        Result.

    Returns
    -------
    str
        A whole document; pictures are inline.
    """
    from importlib.resources import files

    from jinja2 import Environment, StrictUndefined
    from markupsafe import Markup

    def drawn(plot: Callable[[Tuning], Axes], words: str) -> Markup:
        return Markup(_svg(plot, tuning, words))  # our own drawing, not a user's text

    told = to_dict(tuning)
    table = tuning.problem.swatches
    environment = Environment(autoescape=True, undefined=StrictUndefined)
    template = environment.from_string(
        (files("lift.show.report") / "tuning.html.jinja").read_text("utf-8")
    )
    return template.render(
        title=f"Tuning to {table.source or 'swatches'}",
        style=style,
        invented=table.invented,
        findings=findings(tuning),
        summary=_summary(tuning, told),
        parameter_heads=(
            *("Parameter", "Before", "Tuned", "Error", "Jackknife"),
            *("Interval", "Unit", "Verdict"),
        ),
        parameters=[
            (
                *(e.name, f"{e.before:.4g}", f"{e.value:.4g}"),
                *(error_words(e.standard_error), error_words(e.jackknife_error)),
                *(f"{e.low:.4g} to {e.high:.4g}", e.unit, e.verdict),
            )
            for e in tuning.estimates
        ],
        swatch_heads=(
            *("Swatch", "Level judged", "Level fitted", "Rate"),
            *("Mean dE00", "Largest dE00"),
        ),
        swatches=[
            (
                row["name"],
                "-" if row["level_judged"] is None else f"{row['level_judged']:g}",
                *(f"{row['level']:.2f}", f"{row['rate']:.2f}"),
                *(f"{row['dE00']['mean']:.2f}", f"{row['dE00']['largest']:.2f}"),
            )
            for row in told["swatches"]
        ],
        figures={
            "parameters": [
                drawn(plot_estimates, "Parameters with their intervals"),
                drawn(plot_correlations, "Correlations of the parameters"),
            ],
            "swatches": [
                drawn(plot_series, "Fitted and measured colours through time"),
                drawn(plot_differences, "Differences of each swatch before and after"),
            ],
            "unseen": drawn(plot_held_out, "Errors on swatches left out"),
        },
        carried=_carried(told),
    )


def write_page(tuning: Tuning, path: Path) -> None:
    """Write the page of a tuning."""
    write_whole(path, tuning_page(tuning), "file.page")


def _summary(tuning: Tuning, told: dict[str, Any]) -> list[tuple[str, str]]:
    table, misfit = tuning.problem.swatches, told["misfit"]
    rates = "their spread between swatches was not estimated"
    if tuning.spread is not None:
        rates = f"swatches differ by {tuning.spread:.1%} (standard deviation)"
    summary = [
        ("Converged", ("yes: " if tuning.converged else "NO: ") + tuning.fit.message),
        ("Starts", f"{tuning.agreed} of {tuning.tried} ended at the least misfit"),
        ("Readings", f"{len(table)} of {len(table.names)} swatches"),
        ("Data sha256", table.sha256),
        ("Misfit", f"{_words(misfit['dE00'])}; before: mean {misfit['dE00_before']['mean']:.2f}"),
        ("Scatter", f"{tuning.problem.scatter_scale:.2f} times the expected"),
        ("Rates", rates),
        ("AICc", f"{tuning.aicc:.2f} (only differences count)"),
        ("Loss", tuning.fit.loss),
        ("Intervals", f"{tuning.coverage:.0%}, by profile"),
    ]
    if told["held_out"] is not None:
        summary.append(("Swatches left out", _words(told["held_out"]["tuned_dE00"])))
        summary.append(("Shipped set on them", _words(told["held_out"]["shipped_dE00"])))
    return summary


def _words(summary: dict[str, float]) -> str:
    return (
        f"dE00 mean {summary['mean']:.2f}, median {summary['median']:.2f}, "
        f"largest {summary['largest']:.2f}"
    )


def _carried(told: dict[str, Any]) -> Any:
    """JSON that may stand inside a script element."""
    from jinja2.utils import htmlsafe_json_dumps

    return htmlsafe_json_dumps(told, allow_nan=False)


def _svg(plot: Callable[[Tuning], Axes], tuning: Tuning, words: str) -> str:
    """Picture as inline SVG, with words for those who cannot see it."""
    from matplotlib import rc_context

    out = io.StringIO()
    with rc_context(style.RC):
        figure: Any = plot(tuning).figure
        figure.savefig(out, format="svg", metadata={"Date": None})
    svg = out.getvalue()
    svg = svg[svg.index("<svg") :]
    return svg.replace("<svg", f'<svg role="img" aria-label="{escape(words)}"', 1)
