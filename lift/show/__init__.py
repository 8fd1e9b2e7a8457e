"""The only place that draws or prints."""
