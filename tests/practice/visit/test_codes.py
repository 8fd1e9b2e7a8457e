"""Names of visits: what an address and a file may hold."""

import pytest

from lift.errors import LiftError
from lift.practice.visit.codes import check_name


@pytest.mark.parametrize("name", ["foils", "a", "foils-then-base", "2", "a" * 40])
def test_harmless_names(name):
    assert check_name(name) == name


@pytest.mark.parametrize("name", ["", "..", "a/b", "A", "-a", "a-", "a" * 41, "a.b", "ä", "a\n"])
def test_other_names_are_refused(name):
    with pytest.raises(LiftError, match="name"):
        check_name(name)
