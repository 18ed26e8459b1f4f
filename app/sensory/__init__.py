"""Evidence from tasting: plain functions of numbers, usable without the rest of the app."""
