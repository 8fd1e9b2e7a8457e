"""Parameters of the default curve set as declared, before any fit."""

from __future__ import annotations

from lift.model.curves import RED_SHARE, CurveSet
from lift.model.parameter import Parameter

# name: value, unit, low, high, status, source
DECLARED: dict[str, tuple[float, str, float, float, str, str]] = {
    "eumelanin_strength": (
        0.697, "1/radius", 0.3, 1.5, "published",
        "PBRT hair model: absorption per fibre radius, green; scale of one unit of eumelanin",
    ),
    "pheomelanin_strength": (
        0.400, "1/radius", 0.15, 1.0, "published",
        "PBRT hair model: absorption per fibre radius, green; scale of one unit of pheomelanin",
    ),
    "eumelanin_slope": (
        0.0058, "1/nm", 0.004, 0.008, "published",
        "exponential fitted to OMLC extinction (Jacques, after Sarna & Swartz 1988), 380-790 nm",
    ),
    "pheomelanin_slope": (
        0.0091, "1/nm", 0.006, 0.013, "published",
        "exponential fitted to OMLC extinction (Jacques, after Sarna & Swartz 1988), 380-790 nm",
    ),
    "half_oxidised_slope": (
        0.0145, "1/nm", 0.009, 0.022, "calibrated",
        "no published spectrum; steeper than pheomelanin by assumption; fitted to trade practice",
    ),
    "keratin_strength": (
        0.017, "1/radius", 0.0, 0.05, "assumed",
        "unpigmented hair near L* 75 and b* 16 (from memory)",
    ),
    "keratin_slope": (
        0.008, "1/nm", 0.002, 0.02, "assumed",
        "unpigmented hair near L* 75 and b* 16 (from memory)",
    ),
    "azimuthal_roughness": (
        0.3, "-", 0.0, 1.0, "assumed",
        "default roughness of the Chiang et al. 2016 hair model, giving D = 5.8884",
    ),
    "surface_reflectance": (
        0.0248, "-", 0.0, 0.08, "calibrated",
        "L* of the black tress at level 1 (J. Cosmet. Sci. 51 (2000) p. 293, Table IV)",
    ),
    "surface_slope": (
        0.001, "1/nm", 0.0, 0.005, "calibrated",
        "b* of the black tress at level 1 (J. Cosmet. Sci. 51 (2000) p. 293, Table IV)",
    ),
    "melanin_at_level_3": (
        0.85, "-", 0.2, 3.0, "calibrated",
        "least dE*ab to the dark-brown tress at level 3 (J. Cosmet. Sci. 51 (2000), Table III)",
    ),
    "level_ratio": (
        0.53, "1/level", 0.2, 0.7, "calibrated",
        "one level is one equal ratio; so large that level 10 is nearly unpigmented",
    ),
    "pheomelanin_share": (
        0.05, "-", 0.0, 1.0, "published",
        "brown and blond hair 95/5 (Borges et al. 2001); another study finds 0.11-0.17",
    ),
    "red_share": (
        RED_SHARE, "-", 0.33, 0.5, "published",
        "red hair 67/33 (Borges et al. 2001) to about equal (Ito & Wakamatsu 2011)",
    ),
    "peroxide_pka": (
        11.75, "-", 11.0, 12.5, "published", "pKa of H2O2 at 20 C (Ka 1.78e-12)",
    ),
    "reference_ph": (10.0, "-", 8.0, 12.0, "assumed", "pH at which the rate is stated"),
    "lightening_rate": (
        0.118, "L/(mol min)", 0.01, 1.0, "calibrated",
        "we have read no rate constant for melanin in hair; fitted to trade practice",
    ),
    "hydroperoxide_order": (
        1.0,
        "-",
        0.3,
        1.5,
        "assumed",
        "response to HO2-, no published value; proportional, as the rows ask for no less (AICc)",
    ),
    "half_oxidised_yield": (
        0.4, "-", 0.0, 0.65, "calibrated",
        "share of eumelanin; no published value; fitted to trade practice; up to 0.65 L* "
        "cannot fall while lightening",
    ),
    "half_oxidised_rate_ratio": (
        0.45, "-", 0.1, 1.2, "calibrated", "no published value; fitted to trade practice",
    ),
    "pheomelanin_rate_ratio": (
        0.35, "-", 0.2, 1.0, "calibrated",
        "red hair is harder to bleach than brown (reviews of hair bleaching); fitted to practice",
    ),
    "oxidised_pheomelanin_slope": (
        0.014, "1/nm", 0.009, 0.022, "calibrated",
        "no published spectrum; steeper than pheomelanin by assumption; fitted to practice",
    ),
    "oxidised_pheomelanin_yield": (
        0.5, "-", 0.0, 0.65, "calibrated",
        "share of pheomelanin; no published value; fitted to practice",
    ),
    "oxidised_pheomelanin_rate_ratio": (
        0.3, "-", 0.1, 1.2, "calibrated", "no published value; fitted to practice",
    ),
    "activation_energy": (
        50.0, "kJ/mol", 10.0, 120.0, "assumed",
        "no published value for melanin in hair; a factor of 2 in 11 C at 30 C",
    ),
    "reference_temperature": (
        30.0, "C", 15.0, 45.0, "assumed", "mixture on hair between room and scalp",
    ),
    "uptake_rate": (
        1.0 / 170.0, "1/min", 0.002, 0.2, "published",
        "D/r^2 of peroxide in neutral, unbleached hair of the reference diameter, derived from "
        "two dyes (J. Soc. Cosmet. Chem. 15 (1964) p. 604), D_water from memory",
    ),
    "swelling_gain": (
        2.0, "-", 1.0, 4.0, "assumed",
        "alkaline swelling quickens uptake; no published factor for peroxide",
    ),
    "reference_fibre": (
        70.0, "um", 50.0, 90.0, "published", "middle of 60-80 um (Wolfram 2003)",
    ),
    "fade_minutes": (
        40.0, "min", 5.0, 1000.0, "assumed",
        "a thin film dries and is spent sooner than the 1961 bath (about 700 min)",
    ),
    "peroxide_loss": (
        0.002, "L/(mol min)", 0.0, 0.005, "published",
        "1/c = 1/c0 + k t in baths without and with EDTA, 0.0042 and 0.0009 (J. Soc. Cosmet. "
        "Chem. 12(3) (1961), Table 1); between them",
    ),
    "base_break_film": (
        0.4, "-", 0.05, 2.0, "calibrated",
        "how long its thin film lasts against fade_minutes; fitted to trade practice",
    ),
    "porosity_gain": (
        1.0, "-", 0.0, 4.0, "published",
        "1 h of 6 % H2O2 doubles dye diffusion (J. Soc. Cosmet. Chem. 44 (1993) p. 357)",
    ),
    "porosity_exposure": (
        0.5, "-", 0.05, 5.0, "assumed",
        "most of the doubling is there after 1 h of 6 % and 4 h adds little (same source)",
    ),
    "damp_dilution": (
        0.85, "-", 0.4, 1.0, "assumed",
        "water held by towel-dried hair, about 0.3 g/g (from memory), in 2 g of mixture per g",
    ),
    "cream_ph": (9.8, "-", 8.0, 11.5, "assumed", "alkaline oxidative cream"),
    "base_break_ph": (10.4, "-", 8.0, 11.5, "assumed", "more alkaline than a cream"),
    "powder_ph": (
        10.0, "-", 8.0, 11.5, "published",
        "persulfate bleach near pH 10 (textbook of modern hair science, hair-colouring chapter)",
    ),
    "powder_boost": (
        1.0, "-", 1.0, 20.0, "assumed",
        "factor on the rate of peroxide beside persulfate; 1: they add",
    ),
    "persulfate_rate": (
        0.15, "1/min", 0.0, 5.0, "calibrated",
        "persulfate by itself, per share of powder; no published value; fitted to trade practice",
    ),
    "base_break_violet_dose": (
        1.0, "0.01/radius", 0.0, 20.0, "assumed",
        "tone carried by a base-break cream: a mild violet",
    ),
    "tone_minutes": (8.0, "min", 0.5, 60.0, "assumed", "time constant of tone forming in hair"),
    "level_sd": (
        0.3, "levels", 0.0, 1.0, "common practice",
        "a level judged by eye is good to about half a level, nine times in ten (no source)",
    ),
    "rate_log_sd": (0.20, "-", 0.0, 1.0, "assumed", "strand-to-strand spread of the rate"),
    "fibre_log_sd": (0.10, "-", 0.0, 0.5, "assumed", "spread of diameter within one head"),
    "fade_log_sd": (0.25, "-", 0.0, 1.0, "assumed", "spread of how fast the mixture weakens"),
    "warmth_allowance": (
        3.0, "dC*", 0.0, 60.0, "assumed",
        "chroma above natural hair of the same L* that still passes for natural",
    ),
    "visible_lift": (
        0.25, "levels", 0.0, 3.0, "assumed",
        "least lift counted as a result where no goal is given",
    ),
    "painter_yellow_hue": (
        63.0, "degrees", 45.0, 100.0, "calibrated",
        "CIELAB hue of excess warmth that painters call yellow in light hair; fitted to the wheel",
    ),
}  # fmt: skip


def declared_set() -> CurveSet:
    """Build the curve set as declared above, before any fit."""
    return CurveSet("default", tuple(Parameter(name, *row) for name, row in DECLARED.items()))
