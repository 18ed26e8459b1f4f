"""Two groups of cups side by side: choosing them, and what the journal says of them."""
