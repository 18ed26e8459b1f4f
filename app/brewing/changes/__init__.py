"""What to change about a brew, from published directions, within its gear."""
