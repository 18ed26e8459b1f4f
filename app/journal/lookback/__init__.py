"""What a journal holds when one looks back: days, months, the best cups."""
