"""A clap heard in two clips, as a check of how their clocks go together."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.store.clips import resolve_clip
from deliverylab.core.video.index import build_index
from deliverylab.core.video.sound import sharpest_sound

U_SOUND_S = 0.015
"""u of an offset by sound: it reaches two phones up to 6 m apart in distance 18 ms apart, and phones
keep sound and picture together to some hundredths of a second (common practice)."""


class ClockBySound(NamedTuple):
    """What a sharp sound heard in two clips says of the second one's clock.

    Attributes
    ----------
    offset_s, u_s : float
        Added to its real time to give the first clip's, with u.
    """

    offset_s: float
    u_s: float


def clock_by_sound(
    delivery: Delivery, first: str, other: str, project_path: str | Path | None
) -> ClockBySound | None:
    """Return what a clap says; None where a clip is away, is silent, or holds no single sharp sound.

    Parameters
    ----------
    delivery : Delivery
    first, other : str
        Its cameras.
    project_path : str, pathlib.Path or None
        The project's file; clips are looked for from there.

    Raises
    ------
    ClipError
        A clip cannot be opened.
    """
    heard = [_heard_s(delivery.camera(name), project_path) for name in (first, other)]
    ours_s, theirs_s = heard
    if ours_s is None or theirs_s is None:
        return None
    return ClockBySound(ours_s - theirs_s, U_SOUND_S)


def _heard_s(camera: Camera, project_path: str | Path | None) -> float | None:
    """Return when a clip's sharp sound begins, real seconds of its own clock."""
    path = None if camera.clip is None else resolve_clip(project_path, camera.clip)
    if path is None:
        return None
    found = sharpest_sound(path, build_index(path).first_stamp_s)
    return None if found is None else float(camera.timing.real_s(found.time_s))
