"""Measured swatches: files in, checked tables out, and invented ones."""
