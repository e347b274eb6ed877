"""Mistakes into words: what stands, and what to type instead; no decision enters."""
