"""Storing checked values on frozen objects."""

from __future__ import annotations

from typing import Any

import numpy as np


def store(target: object, name: str, value: Any) -> None:
    """Store a checked field: a number stays a number, an array becomes a read-only copy."""
    if isinstance(value, np.ndarray):
        if value.ndim == 0:
            value = float(value)
        else:
            value = value.copy()
            value.setflags(write=False)
    object.__setattr__(target, name, value)
