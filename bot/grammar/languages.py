"""Names of languages a member may ask for, as ISO 639-1 codes."""

from __future__ import annotations

from bot.grammar.text import Bag
from core.folding import fold
from core.languages import EACH

# English name, own name -> code (ISO 639-1).
NAMES = {
    "english": "en", "inglés": "en", "german": "de", "deutsch": "de", "french": "fr",
    "français": "fr", "spanish": "es", "español": "es", "espanol": "es", "italian": "it",
    "italiano": "it", "dutch": "nl", "nederlands": "nl", "portuguese": "pt", "português": "pt",
    "polish": "pl", "polski": "pl", "swedish": "sv", "svenska": "sv", "norwegian": "nb",
    "norsk": "nb", "danish": "da", "dansk": "da", "finnish": "fi", "suomi": "fi", "czech": "cs",
    "ukrainian": "uk", "russian": "ru", "turkish": "tr", "arabic": "ar", "japanese": "ja",
    "chinese": "zh", "korean": "ko", "greek": "el", "hungarian": "hu", "romanian": "ro",
}  # fmt: skip
_BY_NAME = {fold(name): code for name, code in NAMES.items()}


def take_language(bag: Bag) -> str | None:
    """Claim `language de`, `in German` or `español`; the code, lower case."""
    names = "|".join((*NAMES, *_BY_NAME))
    lead = r"(?:language|lang|in|speak|idioma|sprache)"
    if bag.take(r"(?<!\w)(?:language|lang|idioma)\s*[:=]?\s*(?:each|both|ambos|cada uno)(?!\w)"):
        return EACH
    found = bag.take(rf"(?<!\w)(?:{lead}\s*[:=]?\s*)?({names})(?!\w)")
    if found:
        return _BY_NAME[fold(found[1])]
    found = bag.take(
        r"(?<!\w)(?:language|lang|idioma|sprache)\s*[:=]?\s*([a-z]{2,3})(?:[-_][a-z]{2})?(?!\w)"
    )
    return fold(found[1]) if found else None
