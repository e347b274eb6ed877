"""The garden as lists, replies and pictures show it: pure functions.

No database, no request and no phrase enters.
"""
