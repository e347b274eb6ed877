"""One request → one reply, in the caller's transaction."""
