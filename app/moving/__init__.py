"""A whole journal moved into another file or database, keys included: `oddcup copy-to`."""
