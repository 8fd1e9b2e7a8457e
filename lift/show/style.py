"""One look for every picture: quiet greys, so that hair is the only strong colour."""

from __future__ import annotations

from typing import Any

INK = "#26231f"
SOFT = "#6f6a63"
FAINT = "#d9d4cb"
PAPER = "#fbfaf7"
COOL = "#2f6f8f"
WARM = "#b3541e"

RC: Any = {
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "axes.titlecolor": INK,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titlesize": 12,
    "axes.labelsize": 11,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "grid.color": FAINT,
    "grid.linewidth": 0.6,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "text.color": INK,
    "font.size": 10.5,
    "font.family": "sans-serif",
    "legend.frameon": False,
    "figure.dpi": 110,
    "savefig.dpi": 150,
    "svg.hashsalt": "lift",
}
