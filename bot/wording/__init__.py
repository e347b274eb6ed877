"""Replies, notices and errors into words; nothing else knows phrases."""
