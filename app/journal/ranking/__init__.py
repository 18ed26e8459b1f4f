"""Recipes in order, from every preference of the journal."""
