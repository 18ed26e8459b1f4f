"""Who asked what, in their own words, and under which question it was gathered."""
