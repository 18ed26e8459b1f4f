"""Questions of the practice: what was gathered under each, and the answer written below it."""
