"""Crops, their names, standards and trays; no date and no group enters."""
