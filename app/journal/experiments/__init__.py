"""Small experiments: what is planned, what was brewed, and what it found."""
