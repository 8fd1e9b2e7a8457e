"""The drawn lock: how a colour of hair is shown wherever it is not shown in a terminal."""
