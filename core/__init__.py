"""Decides: what a request means for the records, what is due, what the figures say."""
