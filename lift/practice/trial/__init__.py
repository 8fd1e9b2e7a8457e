"""Strand test: what was seen, and what it tells of this client's hair."""
