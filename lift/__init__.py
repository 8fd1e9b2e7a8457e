"""lift: warm colour exposed by lightening hair, its window, its risk and the tone that answers it.

The names below load on first use, so that ``import lift`` stays fast.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOME = {
    "Hair": "lift.model.hair",
    "Mixture": "lift.model.mixture",
    "CurveSet": "lift.model.curves",
    "Parameter": "lift.model.curves",
    "default_curves": "lift.model.curves",
    "load_curves": "lift.model.curves",
    "Trajectory": "lift.model.trajectory",
    "simulate": "lift.model.trajectory",
    "Ensemble": "lift.model.ensemble",
    "ensemble": "lift.model.ensemble",
    "natural_path": "lift.model.natural",
    "underpigment_ladder": "lift.model.stages",
    "stage_names": "lift.model.stages",
    "Goal": "lift.practice.goal",
    "Window": "lift.practice.window",
    "find_window": "lift.practice.window",
    "ToneDirection": "lift.practice.tone",
    "tone_direction": "lift.practice.tone",
    "neutralise": "lift.practice.toning.neutralise",
    "Neutralisation": "lift.practice.toning.neutralise",
    "infer_pigment": "lift.model.inverse",
    "other_light": "lift.practice.toning.other_light",
    "wash_fade": "lift.practice.toning.fade",
    "carried_and_outrun": "lift.practice.toning.carried",
    "tone_over_level": "lift.practice.toning.carried",
    "tone_report": "lift.practice.toning.tone_report",
    "preview": "lift.practice.preview",
    "Scenario": "lift.practice.service.scenario",
    "load_scenario": "lift.practice.service.scenario_file",
    "Plan": "lift.practice.service.plan",
    "plan": "lift.practice.service.plan",
    "Observation": "lift.practice.trial.observation",
    "strand_test": "lift.practice.trial.strand_test",
    "Record": "lift.practice.records.record",
    "RecordStore": "lift.practice.records.record_store",
    "calibrate": "lift.practice.records.calibration",
    "all_checks": "lift.research.evidence.checks",
    "window_sensitivity": "lift.research.evidence.sensitivity",
    "reading_sensitivity": "lift.research.evidence.sensitivity",
    "strand_spread": "lift.research.evidence.sensitivity",
    "plot_standing": "lift.show.plots.trust_plots",
    "plot_checks": "lift.show.plots.trust_plots",
    "plot_tornado": "lift.show.plots.trust_plots",
    "plot_spread": "lift.show.plots.trust_plots",
    "evidence_table": "lift.show.lesson.trust_tables",
    "curve_table": "lift.show.lesson.trust_tables",
    "Processed": "lift.practice.toning.tone_report",
    "plot_opposition": "lift.show.plots.teach_tone_plots",
    "plot_answers": "lift.show.plots.teach_tone_plots",
    "plot_dye_bands": "lift.show.plots.teach_tone_plots",
    "plot_toned_light": "lift.show.plots.teach_tone_plots",
    "plot_dye_paths": "lift.show.plots.circle_plots",
    "plot_dose_response": "lift.show.plots.tone_plots",
    "plot_lights": "lift.show.plots.tone_plots",
    "plot_fades": "lift.show.plots.tone_plots",
    "plot_carried": "lift.show.plots.carried_plots",
    "plot_depth": "lift.show.plots.carried_plots",
    "plot_preview": "lift.show.plots.preview_plots",
    "plot_warmth": "lift.show.plots.preview_plots",
    "plot_timeline": "lift.show.plots.plan_plots",
    "plot_colours": "lift.show.plots.plan_plots",
    "plot_next_visit": "lift.show.plots.plan_plots",
    "plot_looks": "lift.show.plots.strand_plots",
    "plot_moved": "lift.show.plots.strand_plots",
    "preview_table": "lift.show.lesson.chair_tables",
    "scenario_table": "lift.show.lesson.chair_tables",
    "plan_table": "lift.show.lesson.chair_tables",
    "change_lines": "lift.show.lesson.chair_tables",
    "moved_table": "lift.show.lesson.chair_tables",
    "read_swatches": "lift.research.swatches.swatch_file",
    "tune": "lift.research.tuning.tune",
    "tuned_curves": "lift.research.tuning.curve_files",
    "sample_posterior": "lift.research.posterior.bayes",
    "Asked": "lift.research.planning.next_swatch",
    "plan_next": "lift.research.planning.next_swatch",
    "plot_series": "lift.show.plots.tune_plots",
    "plot_estimates": "lift.show.plots.tune_plots",
    "plot_differences": "lift.show.plots.tune_plots",
    "plot_held_out": "lift.show.plots.tune_plots",
    "plot_correlations": "lift.show.plots.tune_plots",
    "plot_beliefs": "lift.show.plots.bayes_plots",
    "plot_worth": "lift.show.lesson.teach_tune_plots",
    "swatch_table": "lift.show.lesson.teach_tune_plots",
    "estimate_table": "lift.show.lesson.teach_tune_plots",
    "class_exercise": "lift.practice.exercise",
    "figure_with_alt": "lift.show.lesson.notebook",
    "foldable": "lift.show.lesson.notebook",
    "table": "lift.show.lesson.notebook",
    "items": "lift.show.lesson.notebook",
    "exercise": "lift.show.lesson.notebook",
    "plot_melanin": "lift.show.plots.teach_plots",
    "plot_levels": "lift.show.plots.teach_plots",
    "plot_reflectance": "lift.show.plots.teach_plots",
    "plot_remaining": "lift.show.plots.departure_plots",
    "plot_departure": "lift.show.plots.departure_plots",
    "plot_ladder": "lift.show.plots.teach_plots",
    "plot_phases": "lift.show.plots.overshoot_plots",
    "plot_causes": "lift.show.plots.departure_plots",
    "plot_one_curve": "lift.show.plots.overshoot_plots",
    "plot_cases": "lift.show.plots.overshoot_plots",
    "animate_lightening": "lift.show.lesson.animate",
    "Explorer": "lift.show.lesson.interactive",
    "cautions": "lift.practice.cautions",
    "LiftError": "lift.errors",
    "LimitError": "lift.errors",
}

__all__ = ["__version__", *sorted(_HOME)]


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'lift' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
