"""Every check that `lift evidence` prints, as a test of its own."""

import pytest

from lift.model.curves import default_curves
from lift.research.evidence.checks import all_checks

CHECKS = list(all_checks())


@pytest.mark.parametrize("check", CHECKS, ids=[str(c.name) for c in CHECKS])
def test_check(check):
    assert str(check.source)
    assert check.passed, f"expected {check.expected}, got {check.got}"


def test_a_wrong_model_fails():
    """The checks can fail: a doubled rate and a lighter black hair do not pass."""
    wrong = default_curves().replace(lightening_rate=0.4, surface_reflectance=0.04)
    failed = {str(c.name) for c in all_checks(wrong) if not c.passed}
    assert "black hair, L* at level 1" in failed
    assert any(name.startswith("volumes: cream with 10 vol") for name in failed)
    assert any(name.startswith("base break") for name in failed)
