"""Replies into words: one file for each file of `core/replies`; no decision enters."""
