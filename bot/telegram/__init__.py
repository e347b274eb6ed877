"""Telegram carries text in and out: intake, courier, buttons."""
