"""What a researcher asks: evidence, tuning, next measurement."""
