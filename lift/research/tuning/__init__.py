"""Tuning: parameters of the curve set fitted to swatches, and how well they are known."""
