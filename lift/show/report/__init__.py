"""A tuning as one HTML file."""
