"""What to change: which just-right attribute costs liking, and what cups of the journal tell."""
