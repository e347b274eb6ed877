"""One group's records as plain values, and what follows from them.

No database and no phrase enters.
"""
