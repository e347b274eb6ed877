"""Telegram: a durable intake, workers in order within a chat, and a paced courier."""
