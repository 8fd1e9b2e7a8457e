"""Pictures: each takes an optional Axes, returns it, and never shows."""
