"""What the trade knows: tables, dates, rates and statistics; no group, record or request enters."""
