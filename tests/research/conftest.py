"""One invented laboratory and its tuning, made once: no test changes them."""

import pytest

from lift import default_curves
from lift.research.generate import design, synthetic_laboratory
from lift.research.tune import tune

TRUE = {"lightening_rate": 0.15, "powder_boost": 2.0, "half_oxidised_yield": 0.3}


@pytest.fixture(scope="session")
def truth():
    return default_curves().replace(name="truth", **TRUE)


@pytest.fixture(scope="session")
def laboratory(truth):
    return synthetic_laboratory(design(8), truth, seed=11)


@pytest.fixture(scope="session")
def tuning(laboratory):
    return tune(laboratory.swatches, starts=2)
