"""Frost dates of a place from records, files or an estimate; no crop and no group enters."""
