"""The page for the chair: one local server, one hand-written page, no outside request."""
