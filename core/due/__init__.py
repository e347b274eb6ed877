"""What is open today and what to say unasked; no database and no phrase enters."""
