"""Dates of one crop at one place; no group enters."""
