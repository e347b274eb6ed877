"""How long a tray stays moist, and what gaps in watering mean; no group enters."""
