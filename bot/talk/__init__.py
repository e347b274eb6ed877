"""One update in, messages out: the same for every messenger, which may not enter."""
