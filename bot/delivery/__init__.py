"""What every messenger shares in carrying messages; no messenger's library or limit enters."""
