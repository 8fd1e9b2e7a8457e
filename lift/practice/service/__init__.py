"""The whole service: zones and sections on one clock, blend, next visit."""
