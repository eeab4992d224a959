"""Clips of every kind, each written once a session, and the real one where it is at hand."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from deliverylab.core.video.writer import write_clip
from tests.core.video.coded_clips import KINDS


@pytest.fixture(scope="session")
def make_clip(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Return a function that writes a clip of a kind in `KINDS`, once a session."""
    folder = tmp_path_factory.mktemp("clips")

    def make(kind: str) -> Path:
        ending, pictures, arguments = KINDS[kind]
        path = folder / f"{kind}.{ending}"
        if not path.exists():
            write_clip(path, pictures(), 240, **arguments)  # type: ignore[arg-type]
        return path

    return make


@pytest.fixture
def real_clip() -> Path:
    """Return a real delivery's clip; it may not be passed on, so it is not in the repository."""
    root = Path(__file__).resolve().parents[3]
    folder = Path(os.environ.get("DELIVERYLAB_MEDIA") or root.parent / "shared" / "media")
    path = folder / "real_delivery.avi"
    if not path.is_file():
        pytest.skip("the real clip is not at hand (set DELIVERYLAB_MEDIA to its folder)")
    return path
