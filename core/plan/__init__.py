"""The season plan: wishes in, sowings and places out; no database enters."""
