"""Storing checked values on frozen objects."""

from dataclasses import FrozenInstanceError, dataclass
from typing import Any

import numpy as np
import pytest

from lift.model.frozen import store


@dataclass(frozen=True)
class Holder:
    value: Any = None


def test_a_number_stays_a_number():
    holder = Holder()
    store(holder, "value", np.asarray(3.0))
    assert isinstance(holder.value, float)
    assert holder.value == 3.0


def test_an_array_becomes_a_read_only_copy():
    holder, given = Holder(), np.array([1.0, 2.0])
    store(holder, "value", given)
    given[0] = 9.0
    assert holder.value.tolist() == [1.0, 2.0]
    with pytest.raises(ValueError, match="read-only"):
        holder.value[0] = 9.0


def test_anything_else_is_stored_as_it_is():
    holder = Holder()
    store(holder, "value", "words")
    assert holder.value == "words"
    with pytest.raises(FrozenInstanceError):
        holder.value = "others"
