"""In and out: the whole journal as a data package, and what came in."""
