"""Kept scripts that regenerate the shipped data."""
