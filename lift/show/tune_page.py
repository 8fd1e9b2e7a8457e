"""A tuning as one HTML file that needs nothing beside it."""

from __future__ import annotations

import io
import json
import os
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lift.errors import LiftError
from lift.research.tune import Tuning
from lift.research.tune_report import findings, to_dict
from lift.show import style
from lift.show.terminal_research import error_words
from lift.show.tune_plots import (
    plot_correlations,
    plot_differences,
    plot_estimates,
    plot_held_out,
    plot_series,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

STYLE = f"""
body {{ margin: 0 auto; max-width: 62rem; padding: 1.5rem; background: {style.PAPER};
  color: {style.INK}; font: 16px/1.5 system-ui, sans-serif; }}
h1 {{ font-size: 1.5rem; }} h2 {{ font-size: 1.15rem; margin-top: 2rem; }}
table {{ border-collapse: collapse; font-size: 0.9rem; }}
th, td {{ padding: 0.25rem 0.8rem 0.25rem 0; text-align: left; vertical-align: top;
  border-bottom: 1px solid {style.FAINT}; }}
td.number, th.number {{ text-align: right; font-variant-numeric: tabular-nums; }}
.wide {{ overflow-x: auto; }} figure {{ margin: 1rem 0; }} svg {{ max-width: 100%; height: auto; }}
.mark {{ background: {style.WARM}; color: {style.PAPER}; padding: 0.4rem 0.8rem; }}
"""


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
    told = to_dict(tuning)
    table = tuning.problem.swatches
    title = f"Tuning to {table.source or 'swatches'}"
    mark = '<p class="mark">INVENTED readings: no hair was measured.</p>' if table.invented else ""
    misfit = told["misfit"]
    summary = [
        ("Converged", ("yes: " if tuning.converged else "NO: ") + tuning.fit.message),
        ("Starts", f"{tuning.agreed} of {tuning.tried} ended at the least misfit"),
        ("Readings", f"{len(table)} of {len(table.names)} swatches"),
        ("Data sha256", table.sha256),
        ("Misfit", _words(misfit["dE00"]) + f"; before: mean {misfit['dE00_before']['mean']:.2f}"),
        ("Scatter", f"{tuning.problem.scatter_scale:.2f} times the expected"),
        ("Rates", _rates(tuning)),
        ("AICc", f"{tuning.aicc:.2f} (only differences count)"),
        ("Loss", tuning.fit.loss),
    ]
    if told["held_out"] is not None:
        summary.append(("Swatches left out", _words(told["held_out"]["tuned_dE00"])))
        summary.append(("Shipped set on them", _words(told["held_out"]["shipped_dE00"])))
    heads = (
        *("Parameter", "Before", "Tuned", "Error", "Jackknife"),
        *(f"{tuning.coverage:.0%} interval", "Unit", "Verdict"),
    )
    parameters = [
        (
            *(e.name, f"{e.before:.4g}", f"{e.value:.4g}"),
            *(error_words(e.standard_error), error_words(e.jackknife_error)),
            *(f"{e.low:.4g} to {e.high:.4g}", e.unit, e.verdict),
        )
        for e in tuning.estimates
    ]
    swatches = [
        (
            row["name"],
            "-" if row["level_judged"] is None else f"{row['level_judged']:g}",
            f"{row['level']:.2f}",
            f"{row['dE00']['mean']:.2f}",
            f"{row['dE00']['largest']:.2f}",
        )
        for row in told["swatches"]
    ]
    carried = json.dumps(told, allow_nan=False).replace("<", "\\u003c")
    parts = [
        f"<h1>{escape(title)}</h1>{mark}",
        "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in findings(tuning)) + "</ul>",
        _table(("", ""), summary),
        "<h2>Parameters</h2>",
        _table(heads, parameters, numbers=(1, 2, 3, 4)),
        _figure(plot_estimates, tuning, "Parameters with their intervals"),
        _figure(plot_correlations, tuning, "Correlations of the parameters"),
        "<h2>Swatches</h2>",
        _figure(plot_series, tuning, "Fitted and measured colours through time"),
        _figure(plot_differences, tuning, "Differences of each swatch before and after"),
        _table(
            ("Swatch", "Level judged", "Level fitted", "Mean dE00", "Largest dE00"),
            swatches,
            numbers=(1, 2, 3, 4),
        ),
        "<h2>Unseen swatches</h2>",
        _figure(plot_held_out, tuning, "Errors on swatches left out"),
        f'<script type="application/json" id="tuning">{carried}</script>',
    ]
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{STYLE}</style></head>\n<body>\n"
        + "\n".join(parts)
        + "\n</body></html>\n"
    )


def _rates(tuning: Tuning) -> str:
    if tuning.spread is None:
        return "their spread between swatches was not estimated"
    return f"swatches differ by {tuning.spread:.1%} (standard deviation)"


def write_page(tuning: Tuning, path: Path) -> None:
    """Write the page beside its target, then rename it onto the target."""
    beside = path.with_name(f".{path.name}.part")
    try:
        beside.write_text(tuning_page(tuning), "utf-8")
        os.replace(beside, path)
    except OSError as error:
        raise LiftError(f"cannot write page {str(path)!r}: {error.strerror}") from None
    finally:
        beside.unlink(missing_ok=True)


def _words(summary: dict[str, float]) -> str:
    return (
        f"dE00 mean {summary['mean']:.2f}, median {summary['median']:.2f}, "
        f"largest {summary['largest']:.2f}"
    )


def _table(
    heads: Iterable[str], rows: Iterable[Iterable[str]], numbers: tuple[int, ...] = ()
) -> str:
    def cells(row: Iterable[str], tag: str) -> str:
        marks = [' class="number"' if i in numbers else "" for i in range(99)]
        return "".join(
            f"<{tag}{mark}>{escape(text)}</{tag}>" for mark, text in zip(marks, row, strict=False)
        )

    head = cells(heads, "th")
    body = "".join(f"<tr>{cells(row, 'td')}</tr>" for row in rows)
    top = "" if head == "<th></th><th></th>" else f"<thead><tr>{head}</tr></thead>"
    return f'<div class="wide"><table>{top}<tbody>{body}</tbody></table></div>'


def _figure(plot: Callable[[Tuning], Axes], tuning: Tuning, words: str) -> str:
    """Picture as inline SVG, with words for those who cannot see it."""
    from matplotlib import rc_context

    out = io.StringIO()
    with rc_context(style.RC):
        figure: Any = plot(tuning).figure
        figure.savefig(out, format="svg", metadata={"Date": None})
    svg = out.getvalue()
    svg = svg[svg.index("<svg") :]
    labelled = svg.replace("<svg", f'<svg role="img" aria-label="{escape(words)}"', 1)
    return f"<figure>{labelled}</figure>"
