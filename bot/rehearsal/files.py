"""Files that went through the room: bytes, names and ids, for sending again and downloading."""

from __future__ import annotations

import hashlib
import struct
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from bot.rehearsal.errors import Refused, bad_request

PHOTO_LIMIT_BYTES: Final = 10_000_000  # Bot API, "Sending files": 10 MB photos, 50 MB the rest
DOCUMENT_LIMIT_BYTES: Final = 50_000_000
DOWNLOAD_LIMIT_BYTES: Final = 20_000_000  # Bot API, getFile
_LONGEST_SUM_PX: Final = 10_000  # Bot API, sendPhoto: width and height together, and their ratio
_LARGEST_RATIO: Final = 20
_PNG: Final = b"\x89PNG\r\n\x1a\n"
_OGG_PAGE: Final = b"OggS"
_OPUS_HEAD: Final = b"OpusHead"
_LONGEST_HEAD: Final = 300  # bytes; the header stands on the first page alone
_FRAME_MARKERS: Final = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})

# The smallest picture: one grey point, for people who send a photo and only its caption matters.
DOT_PNG: Final = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010800000000"
    "3a7e9b550000000a49444154789c6368000000820081"
    "77cd72b60000000049454e44ae426082"
)


@dataclass(frozen=True, slots=True)
class Upload:
    """A file on its way in."""

    name: str
    data: bytes
    mime_type: str = "application/octet-stream"


class Kind(StrEnum):
    """As what a file was sent, in the platform's words for it."""

    PHOTO = "Photo"
    DOCUMENT = "Document"
    VOICE = "VoiceNote"


@dataclass(frozen=True, slots=True)
class StoredFile:
    """A file in the room. Sizes in bytes and pixels; 0 pixels when it is not a photo."""

    file_id: str
    unique_id: str
    path: str
    upload: Upload
    kind: Kind
    width: int = 0
    height: int = 0
    duration_s: int = 0  # of a voice message

    @property
    def is_photo(self) -> bool:
        """Tell whether it was sent as a photo."""
        return self.kind is Kind.PHOTO

    def as_file(self) -> dict[str, Any]:
        """Give the Bot API File without its path: that is what getFile adds."""
        return {
            "file_id": self.file_id,
            "file_unique_id": self.unique_id,
            "file_size": len(self.upload.data),
        }

    def as_message_part(self) -> dict[str, Any]:
        """Give `photo`, `voice` or `document` as a message carries it."""
        if self.is_photo:
            return {"photo": [{**self.as_file(), "width": self.width, "height": self.height}]}
        if self.kind is Kind.VOICE:
            played = {"duration": self.duration_s, "mime_type": "audio/ogg"}
            return {"voice": {**self.as_file(), **played}}
        names = {"file_name": self.upload.name, "mime_type": self.upload.mime_type}
        return {"document": {**self.as_file(), **names}}


class FileStore:
    """All files of a room, in memory."""

    def __init__(self) -> None:
        self._by_id: dict[str, StoredFile] = {}
        self._by_path: dict[str, StoredFile] = {}
        self._count = 0

    def add_photo(self, upload: Upload) -> StoredFile:
        """Keep a PNG or JPEG.

        Raises:
            Refused: 400 for something else, over 10 MB, or a shape the platform does not take.
        """
        if len(upload.data) > PHOTO_LIMIT_BYTES:
            raise bad_request("file is too big for a photo")
        width, height = _size_px(upload.data)
        if width + height > _LONGEST_SUM_PX or max(width, height) > _LARGEST_RATIO * min(
            width, height
        ):
            raise bad_request("PHOTO_INVALID_DIMENSIONS")
        suffix = "png" if upload.data.startswith(_PNG) else "jpg"
        path = f"photos/file_{self._count}.{suffix}"
        return self._keep(upload, path, Kind.PHOTO, width=width, height=height)

    def add_document(self, upload: Upload) -> StoredFile:
        """Keep any file.

        Raises:
            Refused: 400 when it is empty, 413 over 50 MB.
        """
        if not upload.data:
            raise bad_request("file must be non-empty")
        if len(upload.data) > DOCUMENT_LIMIT_BYTES:
            raise Refused(413, "Request Entity Too Large")
        return self._keep(upload, f"documents/file_{self._count}", Kind.DOCUMENT)

    def add_voice(self, upload: Upload) -> StoredFile:
        """Keep a sound to be played: Ogg with Opus. Its length is read from the file.

        Raises:
            Refused: 400 for something else, 413 over 50 MB. The platform also takes MP3 and M4A,
                and makes documents of the rest; here a wrong format shows at once.
        """
        if len(upload.data) > DOCUMENT_LIMIT_BYTES:
            raise Refused(413, "Request Entity Too Large")
        path = f"voice/file_{self._count}.oga"
        return self._keep(upload, path, Kind.VOICE, duration_s=_opus_length_s(upload.data))

    def by_id(self, file_id: str) -> StoredFile:
        """Find a file; Refused (400) for an id that was never given out here."""
        stored = self._by_id.get(file_id)
        if stored is None:
            raise bad_request("wrong file identifier/HTTP URL specified")
        return stored

    def lose(self, file_id: str) -> None:
        """Forget a file, as the platform may: its id is good for nothing any more."""
        del self._by_path[self._by_id.pop(file_id).path]

    def by_path(self, path: str) -> StoredFile | None:
        """Find what a download asks for."""
        return self._by_path.get(path)

    def _keep(self, upload: Upload, path: str, kind: Kind, **size: int) -> StoredFile:
        unique_id = hashlib.blake2b(upload.data, digest_size=8).hexdigest()
        self._count += 1
        file_id = f"file-{self._count}-{unique_id}"
        stored = StoredFile(file_id, unique_id, path, upload, kind, **size)
        self._by_id[file_id] = stored
        self._by_path[path] = stored
        return stored


def _size_px(data: bytes) -> tuple[int, int]:
    """Read width and height from the head of a PNG or JPEG."""
    try:
        size = _png_size(data) if data.startswith(_PNG) else _jpeg_size(data)
    except IndexError:
        size = None
    if size is None or 0 in size:
        raise bad_request("IMAGE_PROCESS_FAILED")
    return size


def _png_size(data: bytes) -> tuple[int, int]:
    return int.from_bytes(data[16:20]), int.from_bytes(data[20:24])


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Walk the segments up to the frame header (ITU-T T.81, B.1.1.3 and B.2.2)."""
    if not data.startswith(b"\xff\xd8"):
        return None
    at = 2
    while data[at] == 0xFF:  # noqa: PLR2004 - the byte every marker starts with
        if data[at + 1] in _FRAME_MARKERS:
            height, width = data[at + 5 : at + 7], data[at + 7 : at + 9]
            return int.from_bytes(width), int.from_bytes(height)
        at += 2 + int.from_bytes(data[at + 2 : at + 4])
    return None


def _opus_length_s(data: bytes) -> int:
    """Read how long an Ogg file with Opus plays, in whole seconds.

    Source: RFC 3533, section 6 (page header); RFC 7845, sections 4 (positions count 48 kHz
    samples, of which the pre-skip is not played) and 5.1 (identification header).
    """
    head, last = data.find(_OPUS_HEAD), data.rfind(_OGG_PAGE)
    is_whole = len(data) >= max(head + 12, last + 14)
    if not data.startswith(_OGG_PAGE) or not 0 < head < _LONGEST_HEAD or not is_whole:
        raise bad_request("VOICE_INVALID: Ogg with Opus is needed")
    skipped: int
    position: int
    [skipped] = struct.unpack_from("<H", data, head + 10)
    [position] = struct.unpack_from("<q", data, last + 6)
    return max(0, position - skipped) // 48_000
