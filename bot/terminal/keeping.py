"""Where the terminal keeps its group, its history and the pictures it saves."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

CHAT_FILE = "chat.sqlite3"


def data_dir(environment: Mapping[str, str]) -> Path:
    """Return the folder for the terminal's files: of `XDG_DATA_HOME`, else of the home folder.

    Raises RuntimeError when there is no home folder.
    """
    base = environment.get("XDG_DATA_HOME", "").strip()
    root = Path(base) if base else Path.home() / ".local" / "share"
    return root / "traywarden"


def set_aside(file: Path, now: datetime) -> Path | None:
    """Rename a SQLite file, with what belongs to it, and return its new name; None if not there.

    Nothing is ever written over.
    """
    if not file.exists():
        return None
    name = f"{file.stem}-{now:%Y%m%d-%H%M%S}"
    kept = file.with_name(f"{name}{file.suffix}")
    number = 1
    while kept.exists():
        number += 1
        kept = file.with_name(f"{name}-{number}{file.suffix}")
    for part in ("-wal", "-shm"):
        beside = file.with_name(file.name + part)
        if beside.exists():
            beside.rename(kept.with_name(kept.name + part))
    file.rename(kept)
    return kept


def saver(folder: Path) -> Callable[[str, bytes], str]:
    """Return what writes a picture or file into `folder` and tells where it lies.

    A name that is taken gets a number, so that no earlier file is lost.
    """

    def save(name: str, content: bytes) -> str:
        plain = re.sub(r"[^\w.-]+", "-", name).strip(".-")[:80] or "file"
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / plain
        number = 1
        while path.exists() and path.read_bytes() != content:
            number += 1
            path = folder / f"{Path(plain).stem}-{number}{Path(plain).suffix}"
        path.write_bytes(content)
        return str(path)

    return save
