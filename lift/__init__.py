"""lift: warm colour exposed by lightening hair, its window, its risk and the tone that answers it.

Names of the job are here; `lift.teach` has those of lessons, `lift.lab` those of research.
"""

from __future__ import annotations

from lift.names import public

__version__ = "0.1.0"

_HOMES = {
    # Hair, what lies on it, and the numbers behind.
    "lift.model.hair": ("Hair",),
    "lift.model.mixture": ("Mixture",),
    "lift.model.curves": ("CurveSet", "default_curves", "load_curves"),
    "lift.model.mixtures": ("load_mixtures",),
    "lift.model.trajectory": ("Trajectory", "simulate"),
    "lift.model.ensemble": ("Ensemble", "ensemble"),
    "lift.model.natural": ("natural_path",),
    "lift.model.stages": ("stage_names", "underpigment_ladder"),
    # A colour from a photograph.
    "lift.photo.measure": ("measure", "measure_difference"),
    # One strand: goal, window, preview, tone.
    "lift.practice.goal": ("Blend", "Goal", "Lighten", "Match", "Tone", "parse_goal"),
    "lift.practice.window": ("Window", "find_window"),
    "lift.practice.preview": ("preview",),
    "lift.practice.choosing.choose": ("Choice", "choose"),
    "lift.practice.tone": ("ToneDirection", "tone_direction"),
    "lift.practice.toning.neutralise": ("Neutralisation", "neutralise"),
    "lift.practice.toning.tone_report": ("Processed", "tone_report"),
    "lift.practice.cautions": ("cautions",),
    # A visit, a strand test, what was seen.
    "lift.practice.scenario.scenario": ("Scenario",),
    "lift.practice.scenario.scenario_file": ("load_scenario",),
    "lift.practice.service.plan": ("Plan", "plan"),
    "lift.practice.trial.observation": ("Observation",),
    "lift.practice.trial.strand_test": ("strand_test",),
    "lift.practice.records.record": ("Record",),
    "lift.practice.records.record_store": ("RecordStore",),
    "lift.practice.records.learned": ("learn_from_records",),
    # Pictures of these.
    "lift.show.plots.preview_plots": ("plot_preview", "plot_warmth"),
    "lift.show.plots.choose_plots": ("plot_choice",),
    "lift.show.plots.plan_plots": ("plot_colours", "plot_next_visit", "plot_timeline"),
    "lift.show.plots.strand_plots": ("plot_looks", "plot_moved"),
    "lift.errors": ("LiftError", "LimitError"),
}

_FORMER = {"calibrate": "learn_from_records"}

__all__, __getattr__, __dir__ = public(__name__, _HOMES, ("lab", "teach"), _FORMER)
