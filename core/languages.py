"""The languages the bot speaks, by their ISO 639-1 codes; the first is the default."""

LANGUAGES = ("en", "es")

EACH = "each"
"""For a group: the language each message is written in."""
