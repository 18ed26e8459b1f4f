"""Brewing sums: plain functions of numbers, usable without the rest of the app."""
