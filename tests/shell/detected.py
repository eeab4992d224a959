"""A session in which a drawn person walks through a clip, and a stand-in for the detector."""

from __future__ import annotations

import platformdirs

from deliverylab.core.model.changes import SetDelivery
from tests.core.tracking.posed import RedBoxNetwork
from tests.core.workflow.walked import walked


def stand_in(monkeypatch, tmp_path, network=None):
    """Let the detector be there, and keep its answers out of the user's own folder."""
    monkeypatch.setattr(
        "deliverylab.core.store.detector_files.detector_weights", lambda _folder=None: b"weights"
    )
    monkeypatch.setattr(
        "deliverylab.core.workflow.detecting.installed_network", lambda: network or RedBoxNetwork()
    )
    monkeypatch.setattr(platformdirs, "user_cache_path", lambda *_a, **_k: tmp_path / "cache")


def show_walk(session, folder, pictures=None):
    """Put the walk on the athlete's stage."""
    folder.mkdir(exist_ok=True)
    delivery, path = walked(folder, pictures)
    session.path = path  # where the clip lies is told from there
    session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.select("athlete", delivery.name)
    session.undo_stack.clear()
    return delivery


def nobody_fetched_it(monkeypatch):
    """Let the detector not be there."""
    monkeypatch.setattr(
        "deliverylab.core.store.detector_files.detector_weights", lambda _folder=None: None
    )
