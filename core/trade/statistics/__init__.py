"""Proportions, intervals and tests on counts; no crop, tray or group enters."""
