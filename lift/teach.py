"""Names of lessons: pictures and tables that explain, and what shows them in a notebook."""

from __future__ import annotations

from lift.names import public

_HOMES = {
    # What a lesson computes.
    "lift.practice.exercise": ("class_exercise",),
    "lift.practice.toning.carried": ("carried_and_outrun", "tone_over_level"),
    "lift.practice.toning.fade": ("wash_fade",),
    "lift.practice.toning.other_light": ("other_light",),
    # Why it turns orange.
    "lift.show.plots.teach_plots": (
        *("plot_answers", "plot_dye_bands", "plot_ladder", "plot_levels", "plot_melanin"),
        *("plot_reflectance", "plot_toned_light"),
    ),
    "lift.show.plots.lightening_plots": (
        *("plot_cases", "plot_causes", "plot_departure", "plot_one_curve", "plot_phases"),
        "plot_remaining",
    ),
    # Which tone answers it.
    "lift.show.plots.circle_plots": ("plot_dye_paths", "plot_opposition"),
    "lift.show.plots.tone_plots": (
        *("plot_carried", "plot_depth", "plot_dose_response", "plot_fades", "plot_lights"),
        "plot_partial",
        "plot_toned",
    ),
    # What shows it in class.
    "lift.show.lesson.tables": (
        *("change_lines", "moved_table", "plan_table", "preview_table", "scenario_table"),
    ),
    "lift.show.lesson.notebook": ("exercise", "figure_with_alt", "foldable", "items", "table"),
    "lift.show.lesson.animate": ("animate_lightening",),
    "lift.show.lesson.interactive": ("Explorer",),
    "lift.show.lesson.handout": ("plot_handout",),
}

__all__, __getattr__, __dir__ = public(__name__, _HOMES)
