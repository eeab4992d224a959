"""Tell clips apart without reading them whole, so that a moved clip can be found again."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from deliverylab.core.errors import ClipError

_PART_BYTES = 64 * 1024


@dataclass(frozen=True)
class Fingerprint:
    """Identify a file by its size and the SHA-256 of its first and last 64 KiB.

    Attributes
    ----------
    size_bytes : int
        Length of the file.
    head_sha256, tail_sha256 : str
        Hexadecimal digests; of the whole file where it is shorter than 64 KiB.
    """

    size_bytes: int
    head_sha256: str
    tail_sha256: str


def fingerprint(path: str | Path) -> Fingerprint:
    """Return a file's fingerprint.

    Raises
    ------
    ClipError
        The file is missing or cannot be read.
    """
    try:
        with Path(path).open("rb") as stream:
            head = stream.read(_PART_BYTES)
            size_bytes = stream.seek(0, 2)
            stream.seek(max(0, size_bytes - _PART_BYTES))
            tail = stream.read(_PART_BYTES)
    except OSError as problem:
        raise ClipError(
            "the clip cannot be read",
            where=str(path),
            remedy="check the name and the permissions, or relink the clip if it was moved",
        ) from problem
    return Fingerprint(
        size_bytes, hashlib.sha256(head).hexdigest(), hashlib.sha256(tail).hexdigest()
    )
