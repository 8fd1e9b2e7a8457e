"""Words and tables in a terminal, and the clock that runs there."""
