"""The languages the bot speaks, by their ISO 639-1 codes; the first is the default."""

LANGUAGES = ("en", "es")
