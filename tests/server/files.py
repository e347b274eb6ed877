"""Files sent by either side, kept in memory and found again by `file_id`.

Limits are the published ones: a photo at most 10 MB, width plus height at most 10000, ratio at
most 20; another file at most 50 MB up, 20 MB down.  Source: Bot API reference, "Sending files",
sendPhoto, getFile.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any

from tests.server.contract import ApiError, Upload

PHOTO_MAX_BYTES = 10_000_000
UPLOAD_MAX_BYTES = 50_000_000
DOWNLOAD_MAX_BYTES = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredFile:
    """One file the server holds; `width`/`height` in pixels, for photos only."""

    file_id: str
    unique_id: str
    kind: str
    name: str
    mime: str
    data: bytes
    path: str
    width: int = 0
    height: int = 0

    def as_json(self) -> dict[str, Any]:
        """Return everything but the bytes."""
        return {
            "file_id": self.file_id,
            "kind": self.kind,
            "name": self.name,
            "mime": self.mime,
            "size": len(self.data),
        }

    def in_message(self) -> dict[str, Any]:
        """Return the `photo` or `document` part of a Message."""
        same = {
            "file_id": self.file_id,
            "file_unique_id": self.unique_id,
            "file_size": len(self.data),
        }
        if self.kind == "photo":
            return {"photo": [{**same, "width": self.width, "height": self.height}]}
        return {"document": {**same, "file_name": self.name, "mime_type": self.mime}}


class FileShelf:
    """All files of one server."""

    def __init__(self) -> None:
        self.by_id: dict[str, StoredFile] = {}
        self.by_path: dict[str, StoredFile] = {}

    def add(self, kind: str, upload: Upload) -> StoredFile:
        """Store an upload as `photo` or `document`; raise ApiError if over a limit."""
        if not upload.data:
            raise ApiError(400, "Bad Request: file must be non-empty")
        limit = PHOTO_MAX_BYTES if kind == "photo" else UPLOAD_MAX_BYTES
        if len(upload.data) > limit:
            raise ApiError(413, "Request Entity Too Large")
        width, height = _photo_size(upload.data) if kind == "photo" else (0, 0)
        number = len(self.by_id) + 1
        dot = upload.name.rpartition(".")
        ending = ".jpg" if kind == "photo" else f".{dot[2]}" if dot[1] else ""
        stored = StoredFile(
            file_id=f"{kind.upper()}_FILE_ID_{number:08d}",
            unique_id=f"u{number:08d}",
            kind=kind,
            name=upload.name,
            mime="image/jpeg" if kind == "photo" else upload.mime,
            data=upload.data,
            path=f"{kind}s/file_{number}{ending}",
            width=width,
            height=height,
        )
        self.by_id[stored.file_id] = stored
        self.by_path[stored.path] = stored
        return stored

    def find(self, kind: str, file_id: str) -> StoredFile:
        """Return a file by its id for reuse as `kind`; raise ApiError if it is not one."""
        stored = self.by_id.get(file_id)
        if stored is None:
            raise ApiError(400, "Bad Request: wrong file identifier/HTTP URL specified")
        if stored.kind != kind:
            raise ApiError(
                400,
                f"Bad Request: can't use file of type {stored.kind.title()} as {kind.title()}",
            )
        return stored


def _photo_size(data: bytes) -> tuple[int, int]:
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(data)) as image:
            width, height = image.size
    except (UnidentifiedImageError, OSError):
        raise ApiError(400, "Bad Request: IMAGE_PROCESS_FAILED") from None
    if width + height > 10_000 or max(width, height) > 20 * min(width, height):
        raise ApiError(400, "Bad Request: PHOTO_INVALID_DIMENSIONS")
    return width, height
