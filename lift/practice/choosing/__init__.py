"""Choosing: which mixture, when to rinse and which tone meet a goal."""
