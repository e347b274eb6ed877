"""The same conversation at a prompt, with a clock that can be moved."""
