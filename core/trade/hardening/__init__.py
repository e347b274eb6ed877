"""Hardening off, day by day; no group enters."""
