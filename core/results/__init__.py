"""What worked, compared and shared out; no database enters."""
