"""A simulated placer for the shipped example: known scatter by part, known shift."""

from __future__ import annotations

from functools import cache

from deliverylab.core.metrics.inputs import metres_per_px
from deliverylab.core.model.changes import replace
from deliverylab.core.model.precision import PlacingTarget, part_of
from deliverylab.core.model.project import Project
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.projectfile import load_project
from deliverylab.core.workflow.demo import PROJECT_NAME, examples_dir
from deliverylab.core.workflow.precision_run import (
    kept,
    new_run,
    next_target,
    repeat_targets,
    with_placed,
)

SCATTER_M = {"hip": 0.024, "shoulder": 0.018}
OTHERS_M = 0.008


def scatter_m(landmark):
    return SCATTER_M.get(part_of(landmark), OTHERS_M)


@cache
def _demo_record():
    return load_project(examples_dir() / PROJECT_NAME)


def demo_project():
    """Return the shipped example as a project."""
    return Project(_demo_record())


def placed_by(project, random, *, size_m, shift_m=(0.0, 0.0), factor=1.0):
    """Return a function that places a target as a person with this scatter and shift would."""
    delivery = project.record.deliveries[0]
    camera = delivery.cameras[0]
    true = {key: dict(track) for key, track in camera.tracks.items()}
    sign = -1.0 if delivery.plate_side(camera) == "left" else 1.0

    def place(target):
        at = true[target.landmark][target.frame]
        sd_px = factor * scatter_m(target.landmark) / size_m
        off = random.normal(0.0, sd_px, 2)
        return (
            at.x_px + off[0] + sign * shift_m[0] / size_m,
            at.y_px + off[1] - shift_m[1] / size_m,
        )

    return place


def scattered(project, place):
    """Put the first placing into the record: each position as this person places it."""
    delivery = project.record.deliveries[0]
    camera = delivery.cameras[0]
    tracks = {
        key: Track.of(
            (frame, Position(*map(float, place(PlacingTarget(camera.name, frame, key)))))
            for frame, _ in track
        )
        for key, track in camera.tracks.items()
    }
    project.replace_camera(delivery.name, replace(camera, tracks=tracks))


def place_run(project, placer, place, *, original_placer=None, **plan):
    """Place a whole run again and keep it in the record."""
    delivery = project.record.deliveries[0]
    run = new_run(
        delivery, repeat_targets(delivery, **plan), placer, "2026-05-01",
        original_placer=original_placer,
    )  # fmt: skip
    while (target := next_target(run)) is not None:
        run = with_placed(run, delivery, *place(target))
    project.apply(kept(delivery, run))
    return run


def pixel_size_m(project):
    """Return metres per pixel of the first camera."""
    delivery = project.record.deliveries[0]
    return metres_per_px(delivery, delivery.cameras[0])
