"""When seedlings show, and how sure that is; no group enters."""
