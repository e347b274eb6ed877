"""Seed lots: how good, how many seeds to sow; no group enters."""
