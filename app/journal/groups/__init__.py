"""Groups of cups: who is in them, what was said of them, and how far they lie apart."""
