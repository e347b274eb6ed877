"""Bring the catalogues up to the phrases of the code: `python -m bot.wording.extract`.

A developer's tool. Phrases come from `say`, `say_n` and `N_` in bot/, and from the sentences of
the data tables that `told` looks up. Translations are kept; a phrase that is no longer said goes;
a new one is left empty, for a translator. Nothing is guessed, so that no entry is ever fuzzy.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from core.languages import LANGUAGES
from core.trade.cautions import CAUTIONS
from core.trouble.causes import CAUSES
from core.trouble.questions import QUESTIONS

BOT = Path(__file__).resolve().parents[1]
LOCALE = Path(__file__).resolve().parent / "locale"
KEYWORDS = {"say": None, "say_n": (1, 2), "N_": None}
LINE = 98  # columns of a line of the file
HEADER = """\
# {english} of Traywarden. Words of the trade: core/data/glossary.toml.
# After a phrase of the code changed: python -m bot.wording.extract
msgid ""
msgstr ""
"Language: {language}\\n"
"Plural-Forms: {plurals}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"

"""


def path_of(language: str) -> Path:
    """Return where the catalogue of a language is kept."""
    return LOCALE / language / "LC_MESSAGES" / "traywarden.po"


def table_phrases() -> Iterator[str]:
    """Return every sentence of a data table that is shown to people, in the tables' order."""
    for row in CAUSES.rows():
        yield from (row.cause, row.check, row.remedy, row.prevent, row.caution)
    for question in QUESTIONS.rows():
        yield question.text
        yield from (option.text for option in question.options)
    for caution in CAUTIONS.rows():
        yield from (caution.text, caution.defers)


def template() -> Catalog:
    """Return every phrase there is to translate, in English."""
    found = Catalog(fuzzy=False)
    python = [("**.py", "python")]
    for _, _, phrase, _, _ in extract_from_dir(BOT, method_map=python, keywords=KEYWORDS):
        found.add(phrase)
    for phrase in table_phrases():
        if phrase:
            found.add(phrase)
    return found


def read(language: str) -> Catalog:
    """Return the catalogue of a language as kept; an empty one when there is none yet."""
    path = path_of(language)
    if not path.is_file():
        return Catalog(locale=language, fuzzy=False)
    with path.open("rb") as file:
        return read_po(file, locale=language)


def updated(language: str) -> str:
    """Return the text of a language's catalogue with exactly the phrases of today."""
    catalogue = read(language)
    catalogue.update(template(), no_fuzzy_matching=True)
    catalogue.obsolete.clear()
    catalogue.fuzzy = False
    for message in catalogue:
        message.flags.discard("python-format")  # a % before a word is only a percent sign
        message.auto_comments.clear()
    text = io.BytesIO()
    write_po(
        text, catalogue, omit_header=True, no_location=True, sort_output=True, width=LINE
    )  # fmt: skip
    header = HEADER.format(
        english=catalogue.locale.english_name if catalogue.locale else language,
        language=language,
        plurals=catalogue.plural_forms,
    )
    return header + text.getvalue().decode().strip() + "\n"


def main() -> None:
    """Rewrite every catalogue and say how many phrases still want a translation."""
    for language in LANGUAGES:
        if language == "en":
            continue
        path_of(language).parent.mkdir(parents=True, exist_ok=True)
        path_of(language).write_text(updated(language), encoding="utf-8")
        catalogue = read(language)
        left = [m.id for m in catalogue if m.id and not all(_strings(m.string))]
        sys.stdout.write(f"{language}: {len(catalogue)} phrases, {len(left)} to translate\n")
        sys.stdout.writelines(f"  {phrase!r}\n" for phrase in left)


def _strings(string: str | list[str] | tuple[str, ...] | None) -> tuple[str, ...]:
    return (string or "",) if isinstance(string, str | None) else tuple(string)


if __name__ == "__main__":
    main()
