"""Which picture shows a result."""

from __future__ import annotations

from typing import Any

from lift.show.results.facts import load

_PLOTS = "lift.show.plots"
PICTURES = {
    "Preview": f"{_PLOTS}.preview_plots:plot_preview",
    "Choice": f"{_PLOTS}.choose_plots:plot_choice",
    "Plan": f"{_PLOTS}.plan_plots:plot_timeline",
    "StrandTest": f"{_PLOTS}.strand_plots:plot_looks",
    "ToneReport": f"{_PLOTS}.tone_plots:plot_toned",
    "Carried": f"{_PLOTS}.tone_plots:plot_carried",
    "Depth": f"{_PLOTS}.tone_plots:plot_depth",
    "OtherLight": f"{_PLOTS}.tone_plots:plot_lights",
    "Sensitivity": f"{_PLOTS}.trust_plots:plot_tornado",
    "Tuning": f"{_PLOTS}.tune_plots:plot_estimates",
    "CurveSet": f"{_PLOTS}.trust_plots:plot_standing",
    "NextPlan": f"{_PLOTS}.design_plots:plot_worth",
    "Trajectory": "lift.show.results.strips:plot_times",
}
"""Picture of a result, by the name of its class."""


def picture_of(result: Any) -> Any:
    """Draw it; None where it has no picture, or nothing to draw."""
    where = PICTURES.get(type(result).__name__)
    return load(where)(result) if where else None
