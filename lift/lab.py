"""Names of research: how far to trust, measured swatches, tuning, the next measurement."""

from __future__ import annotations

from lift.names import public

_HOMES = {
    # How far to trust.
    "lift.model.parameter": ("Parameter",),
    "lift.model.inverse": ("infer_pigment",),
    "lift.research.evidence.checks": ("all_checks",),
    "lift.research.evidence.bands": ("band_sensitivity", "near_bands"),
    "lift.research.evidence.sensitivity": (
        *("reading_sensitivity", "strand_spread", "window_sensitivity"),
    ),
    "lift.show.plots.trust_plots": ("plot_checks", "plot_spread", "plot_standing", "plot_tornado"),
    # Measured swatches, tuning, the next measurement.
    "lift.research.swatches.swatch_file": ("check_swatches", "read_swatches"),
    "lift.research.tuning.tune": ("tune",),
    "lift.research.tuning.curve_files": ("tuned_curves",),
    "lift.research.tuning.criticism": ("criticise",),
    "lift.research.tuning.band_check": ("check_bands",),
    "lift.research.posterior.problem": ("Problem", "Tie"),
    "lift.research.posterior.bayes": ("sample_posterior",),
    "lift.research.posterior.sbc": ("check_calibration",),
    "lift.research.planning.next_swatch": ("Asked", "plan_next"),
    "lift.show.plots.tune_plots": (
        *("plot_correlations", "plot_differences", "plot_estimates", "plot_held_out"),
        "plot_series",
    ),
    "lift.show.plots.influence_plots": ("plot_influence",),
    "lift.show.plots.bayes_plots": ("plot_beliefs",),
    "lift.show.plots.design_plots": ("plot_worth",),
    "lift.show.lesson.tables": (
        *("band_table", "curve_table", "estimate_table", "evidence_table", "swatch_table"),
    ),
}

__all__, __getattr__, __dir__ = public(__name__, _HOMES)
