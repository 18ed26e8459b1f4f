"""Recipes in order of what was preferred, and which pair to brew next."""
