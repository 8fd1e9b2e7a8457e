"""Invent the demonstration's laboratory: ``python -m lift.make.demo`` writes into shared/.

Its hair lightens faster than common practice has it, so that tuning has something to find.
"""

from __future__ import annotations

from pathlib import Path

from lift.model.curves import default_curves
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.swatches.written import write_swatches

FILE = Path(__file__).parents[2] / "shared" / "invented_swatches.csv"
LIGHTENING_RATE, HALF_OXIDISED_YIELD = 0.35, 0.5
"""What the laboratory's hair has and the shipped set has not: invented."""

SWATCHES = 8
SEED = 5


def main() -> None:
    """Write the file."""
    truth = default_curves().replace(
        lightening_rate=LIGHTENING_RATE, half_oxidised_yield=HALF_OXIDISED_YIELD
    )
    laboratory = synthetic_laboratory(design(SWATCHES), truth, seed=SEED)
    write_swatches(laboratory.swatches, FILE)
    print(f"{FILE.name}: {len(laboratory.swatches)} invented readings")


if __name__ == "__main__":
    main()
