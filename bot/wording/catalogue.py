"""Message catalogues: English stands in the code, other languages in `locale/*/`.

Catalogues are kept as readable .po files and compiled in memory when a language is first used,
so that nothing binary is kept and English costs nothing.
"""

from __future__ import annotations

import functools
import gettext
import io
from importlib import resources


@functools.cache
def translations(language: str) -> gettext.NullTranslations:
    """Return the catalogue of a language; English for one that has none."""
    path = resources.files("bot.wording") / "locale" / language / "LC_MESSAGES" / "traywarden.po"
    if language == "en" or not path.is_file():
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    compiled = io.BytesIO()
    with path.open("rb") as file:
        write_mo(compiled, read_po(file, locale=language))
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)
