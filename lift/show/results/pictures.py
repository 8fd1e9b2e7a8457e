"""Which picture shows a result."""

from __future__ import annotations

from typing import Any

from lift.model.trajectory import Trajectory
from lift.practice.stage_table import StageTable
from lift.practice.toning.fade import Fade
from lift.show.results.colours import lab_of
from lift.show.results.facts import load
from lift.words import say

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
    "Posterior": f"{_PLOTS}.bayes_plots:plot_beliefs",
    "StageTable": "lift.show.results.pictures:of_stages",
    "Fade": "lift.show.results.pictures:of_fade",
    "Trajectory": "lift.show.results.strips:plot_times",
}
"""Picture of a result, by the name of its class."""


def picture_of(result: Any) -> Any:
    """Draw it; what has one colour and no picture as a lock. None: there is nothing to draw."""
    where, lab = PICTURES.get(type(result).__name__), lab_of(result)
    # Of hair at one time, or of many strands, there is no strip.
    if where and not (isinstance(result, Trajectory) and result.lab.ndim != 2):
        return load(where)(result)
    if lab is None or lab.shape != (3,):
        return None
    return load(f"{_PLOTS}.lock:plot_beside")({say("results.this"): lab})


def of_stages(table: StageTable) -> Any:
    """What answers each level."""
    return load(f"{_PLOTS}.teach_plots:plot_answers")(table.curves)


def of_fade(fade: Fade) -> Any:
    """One kind of tone washing out."""
    return load(f"{_PLOTS}.tone_plots:plot_fades")({fade.kind.name: fade})
