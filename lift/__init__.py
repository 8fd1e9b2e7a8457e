"""lift: warm colour exposed by lightening hair, its window, its risk and the tone that answers it.

Names of the job are here; `lift.teach` has those of lessons, `lift.lab` those of research.
"""

from __future__ import annotations

from lift.names import public

__version__ = "0.1.0"

_HOMES = {
    # Hair, what lies on it, and the numbers behind.
    "model.hair": ("Hair",),
    "model.mixture": ("Mixture",),
    "model.curves": ("CurveSet", "default_curves", "load_curves"),
    "model.mixtures": ("load_mixtures",),
    "model.trajectory": ("Trajectory", "simulate"),
    "model.ensemble": ("Ensemble", "ensemble"),
    "model.natural": ("natural_path",),
    "model.stages": ("stage_names", "underpigment_ladder"),
    # One strand: goal, window, preview, tone.
    "practice.goal": ("Goal",),
    "practice.window": ("Window", "find_window"),
    "practice.preview": ("preview",),
    "practice.tone": ("ToneDirection", "tone_direction"),
    "practice.toning.neutralise": ("Neutralisation", "neutralise"),
    "practice.toning.tone_report": ("Processed", "tone_report"),
    "practice.cautions": ("cautions",),
    # A visit, a strand test, what was seen.
    "practice.service.scenario": ("Scenario",),
    "practice.service.scenario_file": ("load_scenario",),
    "practice.service.plan": ("Plan", "plan"),
    "practice.trial.observation": ("Observation",),
    "practice.trial.strand_test": ("strand_test",),
    "practice.records.record": ("Record",),
    "practice.records.record_store": ("RecordStore",),
    "practice.records.calibration": ("calibrate",),
    # Pictures of these.
    "show.plots.preview_plots": ("plot_preview", "plot_warmth"),
    "show.plots.plan_plots": ("plot_colours", "plot_next_visit", "plot_timeline"),
    "show.plots.strand_plots": ("plot_looks", "plot_moved"),
    "errors": ("LiftError", "LimitError"),
}

__all__, __getattr__, __dir__ = public(__name__, _HOMES, ("lab", "teach"))
