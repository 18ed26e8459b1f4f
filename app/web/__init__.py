"""What pages need of HTTP."""
