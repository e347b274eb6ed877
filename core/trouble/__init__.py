"""From signs of trouble to likely causes; no database enters."""
