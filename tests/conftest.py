"""Settings of every test: hypothesis draws the same examples each time."""

from hypothesis import settings

settings.register_profile("lift", derandomize=True, deadline=None, max_examples=60, database=None)
settings.load_profile("lift")
