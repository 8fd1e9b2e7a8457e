"""Every check against the outside, and what a result depends on."""
