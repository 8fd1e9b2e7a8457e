"""Options of one strand: its hair, what lies on it, for how long, and the goal.

They stand apart, so that a command about no strand does not load what declares them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lift.cli.options import asked, asking, known_mixtures, mixtures_option, option, stack
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixture import read_mixture as _read_mixture
from lift.quantities import MINUTES, read

hair_options = asked(Hair)
mixture_options = stack(asked(Mixture), mixtures_option)
minutes_option = asking(MINUTES)
goal_option = option("--goal", metavar="goal", says="quantity.goal.help")


def read_hair(typed: Mapping[str, Any]) -> Hair:
    """Build the hair from what was typed."""
    return read(Hair, typed)


def read_mixture(typed: Mapping[str, Any]) -> Mixture:
    """Build the mixture from what was typed."""
    return _read_mixture(typed, known_mixtures())
