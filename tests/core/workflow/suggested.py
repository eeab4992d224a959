"""Solved deliveries of known truth with their events marked where the program suggests them."""

from __future__ import annotations

from msgspec.structs import replace

from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.workflow.suggesting import accept, suggestions, unmarked
from tests.core.metrics.solved import Solved


def with_suggested_events(solved: Solved) -> Delivery:
    """Return the delivery with the suggestions of its first clip accepted, and no other marks."""
    cameras = tuple(replace(camera, marks={}) for camera in solved.delivery.cameras)
    bare = replace(solved.delivery, cameras=cameras)
    found = suggestions(bare, cameras[0])
    project = Project(ProjectRecord(deliveries=(bare,)))
    project.apply(accept(bare, cameras[0], found, unmarked(cameras[0], found)))
    return project.delivery(bare.name)
