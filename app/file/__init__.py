"""The file of a SQLite journal: who holds it, whether it is still the one opened, what ails it."""
