"""The example's pair on the stages, with a library of one's own folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from deliverylab.core.store import library as store

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "demo.delivery"


@pytest.fixture
def compared(session, monkeypatch, tmp_path):
    """A session with the example's athlete and model delivery, no plan, and an empty library."""
    monkeypatch.setattr(store.platformdirs, "user_data_path", lambda *_, **__: tmp_path / "own")
    session.open_project(EXAMPLE)
    # nothing is written beside the example
    session.path = tmp_path / "demo.delivery"
    session.set_plan(None)
    session.undo_stack.clear()
    return session
