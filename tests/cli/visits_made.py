"""A folder of projects with two visits of one drawn athlete, and a file that is none."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import save_project
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.published.filmed import filmed


def thrown(name: str, athlete: str, date: str, stride: float):
    """Return a delivery of a drawn figure, placed at its events only."""
    spec = replace(DeliverySpec(), stride_percent_height=stride)
    made = filmed(name, spec)
    camera = made.cameras[0]
    kept = np.unique(
        [
            camera.timing.frame_at(mark.time_s) + step
            for mark in camera.marks.values()
            for step in (-1, 0, 1)
        ]
    )
    tracks = {
        key: type(track)(*(part[np.isin(track.frames, kept)] for part in _parts(track)))
        for key, track in camera.tracks.items()
    }
    return msgspec.structs.replace(
        made,
        athlete=msgspec.structs.replace(made.athlete, name=athlete),
        date=date,
        cameras=(msgspec.structs.replace(camera, tracks=tracks),),
    )


def _parts(track):
    return track.frames, track.xy_px, track.u_px, track.origins


@pytest.fixture(scope="session")
def visits(tmp_path_factory):
    """Two visits of three deliveries each, the stride longer at the second; and one of Ben."""
    folder = tmp_path_factory.mktemp("visits")
    for month, date, stride in (("may", "2026-05-01", 76.0), ("june", "2026-06-01", 84.0)):
        ones = [thrown(f"Ana {month} {n}", "Ana", date, stride + n / 2) for n in (1, 2, 3)]
        if month == "june":
            ones.append(thrown("Ben 1", "Ben", date, 80.0))
        save_project(ProjectRecord(deliveries=tuple(ones)), folder / f"{month}.delivery")
    (folder / "bad.delivery").write_text("{ no")
    return folder
