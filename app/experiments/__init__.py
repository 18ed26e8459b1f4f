"""Pages of experiments."""
