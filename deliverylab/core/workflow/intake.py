"""Take a clip, or positions from elsewhere, into a project."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import msgspec
import numpy as np

from deliverylab.core.errors import InputValueError, UsageError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import Change, SetCamera, SetDelivery
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.index import ClipIndex
from deliverylab.core.video.probe import ProbeReport, probe
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.mass_tables import MassTableKey
from deliverylab.core.vocabulary.segments import Sex
from deliverylab.core.vocabulary.views import view as view_entry
from deliverylab.core.workflow.clip_times import doubts_of, repair_of

replace = msgspec.structs.replace

_LARGEST_DENOMINATOR = 1001
"""Rates are whole numbers or such fractions as 30000/1001."""
_SMALLEST_SHARE = 0.02
"""Stamps closer to an even spacing than this share of it are taken for even."""


class AthleteFacts(msgspec.Struct, frozen=True, kw_only=True):
    """What was said about the athlete; None where nothing was."""

    name: str | None = None
    hand: Hand | None = None
    height_m: float | None = None
    mass_kg: float | None = None
    sex: Sex | None = None
    mass_table: MassTableKey | None = None
    birth_year: int | None = None


def camera_from_clip(
    path: str | Path,
    *,
    project_path: str | Path | None,
    view: str,
    name: str = "main",
    capture_rate_hz: float | None = None,
    look_for_duplicates: bool = True,
    progress: Callable[[float], bool | None] | None = None,
) -> tuple[Camera, ProbeReport]:
    """Return a camera that refers to a clip, with what the clip itself tells.

    Parameters
    ----------
    path : str or pathlib.Path
        The clip.
    project_path : str or pathlib.Path or None
        The project file; the clip is referred to relative to it.
    view, name : str
        Where the camera stood; its name within the delivery.
    capture_rate_hz : float or None
        True rate; None takes what the camera wrote into a slow-motion file, or else the stored rate.
    look_for_duplicates : bool
        Decode every frame to find repeats; takes as long as decoding the clip does.
    progress : callable, optional
        Called with the part done, 0 to 1; returning False stops the search for repeats.

    Raises
    ------
    ClipError
        The clip cannot be read.
    NotFoundError
        Unknown view.
    InputValueError
        A rate no camera has.
    """
    view_entry(view)
    report = probe(path, look_for_duplicates=look_for_duplicates, progress=progress)
    index = report.index
    stated_hz = index.stated_capture_rate_hz if report.suspects_slow_motion else None
    rate = stored_rate(index)
    camera = Camera(
        name=name,
        view=view,
        width_px=index.width_px,
        height_px=index.height_px,
        timing=Timing(
            n_frames=index.n_frames,
            stored_rate=str(rate),
            stamps_s=None if _is_even(index, rate) else tuple(index.times_s.tolist()),
            capture_rate_hz=capture_rate_hz or stated_hz,
            repair=repair_of(report),
            doubts=doubts_of(report),
        ),
        clip=clip_reference(path, project_path),
        duplicate_frames=report.duplicate_frames or (),
    )
    return camera, report


def camera_without_clip(
    *,
    width_px: int,
    height_px: int,
    n_frames: int,
    rate: str,
    view: str,
    name: str = "main",
    capture_rate_hz: float | None = None,
) -> Camera:
    """Return a camera whose positions come from elsewhere.

    Parameters
    ----------
    width_px, height_px : int
        Size of the upright frame that the positions refer to.
    n_frames : int
        Number of frames.
    rate : str
        Frames a second of its own clock, ``240`` or ``30000/1001``.
    view, name, capture_rate_hz
        As for `camera_from_clip`.

    Raises
    ------
    InputValueError
        No size, no frames, or a rate no camera has.
    NotFoundError
        Unknown view.
    """
    view_entry(view)
    if min(width_px, height_px) < 1:
        raise InputValueError(
            "a picture needs a width and a height",
            where=f"{width_px}x{height_px}",
            remedy="give both in pixels, like 1920x1080",
        )
    timing = Timing(n_frames=n_frames, stored_rate=rate, capture_rate_hz=capture_rate_hz)
    return Camera(name=name, view=view, width_px=width_px, height_px=height_px, timing=timing)


def stored_rate(index: ClipIndex) -> Fraction:
    """Return a clip's stored rate as the fraction it stands for; 30 for a single picture."""
    if index.n_frames < 2:
        return Fraction(30)
    claimed = index.average_rate
    # the index hands the file's own fraction on where the stamps agree with it
    if claimed is not None and float(claimed) == index.nominal_rate_hz:
        return claimed
    return Fraction(index.nominal_rate_hz).limit_denominator(_LARGEST_DENOMINATOR)


def _is_even(index: ClipIndex, rate: Fraction) -> bool:
    """Return whether counting frames gives the same times as the stamps do."""
    even_s = np.arange(index.n_frames) / float(rate)
    slack_s = max(float(index.time_base), _SMALLEST_SHARE / float(rate))
    return bool(np.abs(index.times_s - even_s).max() <= slack_s)


def athlete_for(facts: AthleteFacts, record: ProjectRecord, default_name: str) -> Athlete:
    """Return an athlete from what was said, completed by an earlier delivery of the same name.

    Parameters
    ----------
    facts : AthleteFacts
        What was said.
    record : ProjectRecord
        Where earlier deliveries are.
    default_name : str
        The name where none was said.

    Raises
    ------
    InputValueError
        A height or mass that nobody has.
    """
    name = facts.name or default_name
    known = next(
        (d.athlete for d in reversed(record.deliveries) if d.athlete.name == name),
        Athlete(name=name),
    )
    return _completed(known, facts)


def delivery_change(
    record: ProjectRecord,
    *,
    name: str,
    camera: Camera,
    facts: AthleteFacts | None = None,
    date: str = "",
    ball_speed_m_s: float | None = None,
) -> Change:
    """Return the change that takes a camera in: as a new delivery, or into an existing one.

    Parameters
    ----------
    record : ProjectRecord
        The project as it is.
    name : str
        The delivery.
    camera : Camera
        Its first or a further camera.
    facts : AthleteFacts, optional
        What was said about the athlete; an existing delivery is brought up to it.
    date : str
        Day of the throw, ISO 8601.
    ball_speed_m_s : float or None
        From a radar gun.

    Raises
    ------
    UsageError
        The delivery has a camera of that name.
    InputValueError
        A name that is empty, a speed that no ball has, a height or mass that nobody has.
    """
    facts = facts or AthleteFacts()
    _check_names(name, camera.name)
    if ball_speed_m_s is not None and not 1.0 <= ball_speed_m_s <= 60.0:
        raise InputValueError(
            "the ball speed cannot be true",
            where=f"{ball_speed_m_s:g} m/s",
            remedy="give metres a second, between 1 and 60",
        )
    existing = next((d for d in record.deliveries if d.name == name), None)
    if existing is None:
        athlete = athlete_for(facts, record, name)
        new = Delivery(
            name=name,
            athlete=athlete,
            cameras=(camera,),
            date=date,
            ball_speed_m_s=ball_speed_m_s,
        )
        return SetDelivery(name=name, delivery=new)
    if camera.name in [known.name for known in existing.cameras]:
        raise UsageError(
            "the delivery has a camera of that name",
            where=f"{name}: {camera.name}",
            remedy="name the new camera, or give the new delivery another name",
        )
    widened = replace(
        existing,
        athlete=_completed(existing.athlete, facts),
        cameras=(*existing.cameras, camera),
        date=date or existing.date,
        ball_speed_m_s=existing.ball_speed_m_s if ball_speed_m_s is None else ball_speed_m_s,
    )
    if replace(widened, cameras=existing.cameras) == existing:
        return SetCamera(delivery=name, name=camera.name, camera=camera)
    return SetDelivery(name=name, delivery=widened)


def _completed(athlete: Athlete, facts: AthleteFacts) -> Athlete:
    said = {key: value for key, value in msgspec.structs.asdict(facts).items() if value is not None}
    return replace(athlete, **said)


def _check_names(delivery: str, camera: str) -> None:
    for name, what in ((delivery, "delivery"), (camera, "camera")):
        if not name.strip():
            raise InputValueError(f"a {what} needs a name", remedy="give it a short one")
