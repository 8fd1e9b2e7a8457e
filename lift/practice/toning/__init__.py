"""Toning: which tone answers warmth, how much of it, and what becomes of it."""
