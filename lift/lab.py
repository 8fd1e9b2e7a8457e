"""Names of research: how far to trust, measured swatches, tuning, the next measurement."""

from __future__ import annotations

from lift.names import public

_HOMES = {
    # How far to trust.
    "model.curves": ("Parameter",),
    "model.inverse": ("infer_pigment",),
    "research.evidence.checks": ("all_checks",),
    "research.evidence.sensitivity": (
        *("reading_sensitivity", "strand_spread", "window_sensitivity"),
    ),
    "show.plots.trust_plots": ("plot_checks", "plot_spread", "plot_standing", "plot_tornado"),
    # Measured swatches, tuning, the next measurement.
    "research.swatches.swatch_file": ("check_swatches", "read_swatches"),
    "research.tuning.tune": ("tune",),
    "research.tuning.curve_files": ("tuned_curves",),
    "research.tuning.criticism": ("criticise",),
    "research.posterior.problem": ("Problem", "Tie"),
    "research.posterior.bayes": ("sample_posterior",),
    "research.planning.next_swatch": ("Asked", "plan_next"),
    "show.plots.tune_plots": (
        *("plot_correlations", "plot_differences", "plot_estimates", "plot_held_out"),
        "plot_series",
    ),
    "show.plots.bayes_plots": ("plot_beliefs",),
    "show.plots.design_plots": ("plot_worth",),
    "show.lesson.tables": ("curve_table", "estimate_table", "evidence_table", "swatch_table"),
}

__all__, __getattr__, __dir__ = public(__name__, _HOMES)
