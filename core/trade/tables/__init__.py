"""Tables of facts, read from TOML and checked row by row; no fact of one subject enters."""
