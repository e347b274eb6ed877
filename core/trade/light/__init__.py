"""Lamps, daylight and the light plants get; no group enters."""
