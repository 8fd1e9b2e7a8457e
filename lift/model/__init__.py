"""Hair, mixture, curve set and what they give through time."""
