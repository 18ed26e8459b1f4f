"""The whole journal as files: a data package out and in."""
