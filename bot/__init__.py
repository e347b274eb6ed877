"""Translates: text to requests, replies to words, and carries both."""
