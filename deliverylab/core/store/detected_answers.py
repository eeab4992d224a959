"""What the landmark detector answered for a clip, kept in the user's cache folder.

A search that was broken off goes on where it stopped, and a second look at the same clip costs
nothing.  The files can be deleted at any time.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import zipfile
from pathlib import Path

import numpy as np
import platformdirs
from numpy.typing import NDArray

from deliverylab.core.errors import OutputError
from deliverylab.core.model.delivery import ClipReference
from deliverylab.core.store.detector_files import SHA256
from deliverylab.core.store.replacing import write_atomically

Answers = dict[str, NDArray[np.float64]]
_VERSION = "2"


def answers_file(
    clip: ClipReference, start: tuple[float, ...] | None, folder: Path | None = None
) -> Path:
    """Return where the answers for a clip are kept.

    Parameters
    ----------
    clip : ClipReference
    start : tuple of float or None
        What else they depend on: the box that was drawn.
    folder : pathlib.Path, optional
        The user's cache folder without.
    """
    parts = (_VERSION, SHA256, clip.size_bytes, clip.head_sha256, clip.tail_sha256, start)
    name = hashlib.sha256(repr(parts).encode()).hexdigest()[:32]
    cache = Path(platformdirs.user_cache_path("deliverylab", appauthor=False)) / "detected"
    return (folder or cache) / f"{name}.npz"


def kept_answers(file: Path) -> Answers | None:
    """Return kept arrays; None where there are none, or none that can be read."""
    try:
        with np.load(io.BytesIO(file.read_bytes()), allow_pickle=False) as arrays:
            return {name: arrays[name] for name in arrays.files}
    except (OSError, ValueError, EOFError, zipfile.BadZipFile):
        return None


def keep_answers(file: Path, answers: Answers) -> None:
    """Keep arrays; where the folder cannot be written, the next run begins anew."""
    buffer = io.BytesIO()
    np.savez_compressed(buffer, allow_pickle=False, **answers)
    with contextlib.suppress(OSError, OutputError):
        file.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(file, buffer.getvalue())
