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
    "neutralise": "lift.practice.neutralise",
    "Neutralisation": "lift.practice.neutralise",
    "infer_pigment": "lift.model.inverse",
    "other_light": "lift.practice.other_light",
    "wash_fade": "lift.practice.fade",
    "carried_and_outrun": "lift.practice.carried",
    "tone_over_level": "lift.practice.carried",
    "tone_report": "lift.practice.tone_report",
    "preview": "lift.practice.preview",
    "Scenario": "lift.practice.scenario",
    "load_scenario": "lift.practice.scenario_file",
    "Plan": "lift.practice.plan",
    "plan": "lift.practice.plan",
    "Observation": "lift.practice.observation",
    "strand_test": "lift.practice.strand_test",
    "Record": "lift.practice.record",
    "RecordStore": "lift.practice.record_store",
    "calibrate": "lift.practice.calibration",
    "all_checks": "lift.research.evidence",
    "window_sensitivity": "lift.research.sensitivity",
    "reading_sensitivity": "lift.research.sensitivity",
    "strand_spread": "lift.research.sensitivity",
    "plot_standing": "lift.show.trust_plots",
    "plot_checks": "lift.show.trust_plots",
    "plot_tornado": "lift.show.trust_plots",
    "plot_spread": "lift.show.trust_plots",
    "evidence_table": "lift.show.trust_tables",
    "curve_table": "lift.show.trust_tables",
    "Processed": "lift.practice.tone_report",
    "plot_opposition": "lift.show.teach_tone_plots",
    "plot_answers": "lift.show.teach_tone_plots",
    "plot_dye_bands": "lift.show.teach_tone_plots",
    "plot_toned_light": "lift.show.teach_tone_plots",
    "plot_dye_paths": "lift.show.circle_plots",
    "plot_dose_response": "lift.show.tone_plots",
    "plot_lights": "lift.show.tone_plots",
    "plot_fades": "lift.show.tone_plots",
    "plot_carried": "lift.show.carried_plots",
    "plot_depth": "lift.show.carried_plots",
    "plot_preview": "lift.show.plots",
    "plot_warmth": "lift.show.plots",
    "plot_timeline": "lift.show.plan_plots",
    "plot_colours": "lift.show.plan_plots",
    "plot_next_visit": "lift.show.plan_plots",
    "plot_looks": "lift.show.strand_plots",
    "plot_moved": "lift.show.strand_plots",
    "preview_table": "lift.show.chair_tables",
    "scenario_table": "lift.show.chair_tables",
    "plan_table": "lift.show.chair_tables",
    "change_lines": "lift.show.chair_tables",
    "moved_table": "lift.show.chair_tables",
    "read_swatches": "lift.research.swatch_file",
    "tune": "lift.research.tune",
    "tuned_curves": "lift.research.curve_files",
    "sample_posterior": "lift.research.bayes",
    "Asked": "lift.research.next_swatch",
    "plan_next": "lift.research.next_swatch",
    "plot_series": "lift.show.tune_plots",
    "plot_estimates": "lift.show.tune_plots",
    "plot_differences": "lift.show.tune_plots",
    "plot_held_out": "lift.show.tune_plots",
    "plot_correlations": "lift.show.tune_plots",
    "plot_beliefs": "lift.show.bayes_plots",
    "plot_worth": "lift.show.teach_tune_plots",
    "swatch_table": "lift.show.teach_tune_plots",
    "estimate_table": "lift.show.teach_tune_plots",
    "class_exercise": "lift.practice.exercise",
    "figure_with_alt": "lift.show.notebook",
    "foldable": "lift.show.notebook",
    "table": "lift.show.notebook",
    "items": "lift.show.notebook",
    "exercise": "lift.show.notebook",
    "plot_melanin": "lift.show.teach_plots",
    "plot_levels": "lift.show.teach_plots",
    "plot_reflectance": "lift.show.teach_plots",
    "plot_remaining": "lift.show.departure_plots",
    "plot_departure": "lift.show.departure_plots",
    "plot_ladder": "lift.show.teach_plots",
    "plot_phases": "lift.show.overshoot_plots",
    "plot_causes": "lift.show.departure_plots",
    "plot_one_curve": "lift.show.overshoot_plots",
    "plot_cases": "lift.show.overshoot_plots",
    "animate_lightening": "lift.show.animate",
    "Explorer": "lift.show.interactive",
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
