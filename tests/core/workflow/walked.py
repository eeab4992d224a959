"""A clip of a drawn person who walks, and the delivery that it belongs to."""

from __future__ import annotations

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from tests.core.metrics.flown import even
from tests.core.tracking.posed import SIZE_PX, drawn

N_FRAMES, RATE_HZ, TORSO_PX = 20, 60, 34.0


def place(frame):
    """Return where the mid-hip is in a frame, px."""
    return 90.0 + 4.0 * frame, 118.0


def walked(folder, pictures=None, **camera):
    """Write the clip; return the delivery, and the path of a project beside it."""
    if pictures is None:
        pictures = [drawn((*place(frame), TORSO_PX)) for frame in range(N_FRAMES)]
    write_clip(folder / "walk.mp4", pictures, rate=RATE_HZ)
    project = folder / "a.delivery"
    main = Camera(
        name="main", view="open-side", width_px=SIZE_PX[0], height_px=SIZE_PX[1],
        timing=even(len(pictures), RATE_HZ), clip=clip_reference(folder / "walk.mp4", project),
        marks={"foot_contact": Mark(time_s=10 / RATE_HZ)}, **camera,
    )  # fmt: skip
    athlete = Athlete(name="Ana", hand="right", height_m=1.8)
    return Delivery(name="walk", athlete=athlete, cameras=(main,)), project
