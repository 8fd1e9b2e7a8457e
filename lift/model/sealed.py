"""Seal of a file that is cited: a checksum of what it says, so that a changed number is noticed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

SEAL = "seal"
"""Key under which a file carries it, at the top."""


def seal_of(table: Mapping[str, Any]) -> str:
    """Checksum of all that a table holds but its seal; how it was typed does not matter.

    Parameters
    ----------
    table : mapping
        What was parsed of the file.

    Returns
    -------
    str
        SHA-256 of its canonical JSON, in 64 hexadecimal digits.

    Examples
    --------
    >>> seal_of({"rate": 1.5}) == seal_of({"seal": "", "rate": 1.50})
    True
    """
    told = {key: value for key, value in table.items() if key != SEAL}
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
