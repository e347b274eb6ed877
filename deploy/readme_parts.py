"""Write the parts of the README that are made from tables: the commands and the settings.

Run from the checkout: `.venv/bin/python -m deploy.readme_parts`. A test fails when the README
does not hold what this would write.
"""

from __future__ import annotations

import re
from pathlib import Path

from bot.operate.settings import SETTINGS
from bot.wording.pieces.help import SECTIONS, TEXTS, shown_commands

README = Path(__file__).resolve().parents[1] / "README.md"


def commands() -> str:
    """Return the commands as Markdown, by section, each with its line and an example."""
    lines: list[str] = []
    for section, title in SECTIONS.items():
        lines += [f"**{title}**", ""]
        for command in shown_commands(section):
            who = " *(coordinators)*" if command.who == "coordinators" else ""
            example = next((one for one in command.examples if " " in one), None)
            such = f" Such as `{example}`" if example else ""
            lines.append(f"- `/{command.word}`: {TEXTS[command.word]}{who}{such}")
        lines.append("")
    return "\n".join(lines).rstrip()


def settings() -> str:
    """Return the settings as a Markdown table."""
    lines = ["| setting | what for | when not set |", "|---|---|---|"]
    for one in SETTINGS:
        default = f"`{one.default}`" if one.default else "none"
        lines.append(f"| `{one.name}` | {one.about} | {default} |")
    return "\n".join(lines)


def filled(text: str) -> str:
    """Return the README with both parts as they should stand."""
    for name, part in (("commands", commands()), ("settings", settings())):
        marks = f"<!-- {name}: made by deploy/readme_parts.py -->", f"<!-- end of {name} -->"
        pattern = re.escape(marks[0]) + r".*?" + re.escape(marks[1])
        if not re.search(pattern, text, re.DOTALL):
            raise ValueError(f"the README has no place for {name}")
        new = f"{marks[0]}\n{part}\n{marks[1]}"
        text = re.sub(pattern, lambda _, new=new: new, text, flags=re.DOTALL)
    return text


if __name__ == "__main__":
    README.write_text(filled(README.read_text(encoding="utf-8")), encoding="utf-8")
