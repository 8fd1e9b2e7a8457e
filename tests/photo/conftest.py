"""Computed photographs that several tests share; no test changes them."""

import pytest

from lift.make.photograph import Scene, photograph, some_hair
from lift.photo.measure import open_chart


@pytest.fixture(scope="session")
def hair():
    """Reflectance of two kinds of hair, shape (2, 81)."""
    return some_hair(2, seed=3)


@pytest.fixture(scope="session")
def taken(hair):
    """A good photograph: daylight, all but even, little noise."""
    return photograph(Scene(hair, noise=0.002, vignetting=0.15, slope=0.05, tilt=0.02, seed=1))


@pytest.fixture(scope="session")
def opened(taken):
    """Its chart, read."""
    return open_chart(taken.pixels, taken.chart)
