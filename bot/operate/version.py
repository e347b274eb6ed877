"""The version; pyproject.toml's is held to it by a test."""

VERSION = "0.1.0"
