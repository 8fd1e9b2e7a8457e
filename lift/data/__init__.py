"""Shipped data, each file with its source."""
