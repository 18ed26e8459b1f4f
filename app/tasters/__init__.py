"""The tasters: how well each repeats, and how far two of them agree."""
