"""What a person should check in a delivery's positions: one list, the worst first, with reasons."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from deliverylab.core.metrics.inputs import default_u_px, metres_per_px
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.vocabulary.landmarks import ARM_PARTS, LEG_PARTS
from deliverylab.core.vocabulary.segments import SEGMENTS
from deliverylab.core.workflow.review_courses import LEAST_JUMP, crossings, jumps
from deliverylab.core.workflow.review_entry import Look, LookReason, entry
from deliverylab.core.workflow.review_events import bridged, lost, unsure
from deliverylab.core.workflow.segment_lengths import SegmentLength, long_px, segment_lengths
from deliverylab.core.workflow.space_guide import guides
from deliverylab.core.workflow.space_residuals import LEAST_MISFIT, SAME_S, WorstPlace, worst_places

QUICKEST_HZ = dict.fromkeys(("elbow", "wrist", "hand"), 11.0)
QUICKEST_BODY_HZ = 8.0
"""Of the quickest swing in a throw: chosen so that clean deliveries at 60 to 240 frames a second list
less than one position (own simulation, `bench_review`)."""
LEAST_SCATTER_PX = 0.5
MOST_SHARE = 1.2
"""Of a limb's length: nearer to the camera, and off the plane of the scale, it looks longer than it is."""
MOST_U = 3.0
FLIP_WEIGHT = 3.0
FIRST: dict[LookReason, int] = {"flip": 0, "residual": 1}
"""Reasons that stand for others of the same incident: they say more of what is wrong."""
_PARTS = (*ARM_PARTS, *LEG_PARTS)


def to_look_at(
    record: ProjectRecord, delivery: Delivery, results: Sequence[Result] | None = None
) -> tuple[Look, ...]:
    """List the positions of a delivery that a person should check, the worst first.

    Parameters
    ----------
    record : ProjectRecord
        Other deliveries of the athlete tell how long the limbs are.
    delivery : Delivery
    results : sequence of Result, optional
        Of this delivery, where they are known: their budgets tell which unsure position costs most.

    Returns
    -------
    tuple of Look
        One an incident, however many frames and reasons it has; what is said to be hidden or found
        right is left out, and so is what nobody has placed yet.
    """
    lengths = segment_lengths(record, delivery)
    found = list(_residuals(delivery))
    for camera in delivery.cameras:
        found += [
            *_flips(delivery, camera),
            *_jumps(delivery, camera),
            *_lengths(delivery, camera, lengths),
            *lost(delivery, camera),
            *bridged(delivery, camera),
            *unsure(delivery, camera, results or ()),
        ]
    return tuple(
        look
        for look in _one_an_incident(delivery, found)
        if not delivery.camera(look.camera).is_right(look.landmark, look.frame, look.reason)
    )


def _interval_s(camera: Camera) -> float:
    return camera.timing.interval_s * camera.timing.real_per_clip


def _residuals(delivery: Delivery) -> Iterator[Look]:
    for place in worst_places(delivery):
        camera = delivery.camera(place.camera)
        yield entry(
            delivery, camera, place.frame, place.landmark, "residual",
            f"the clips contradict each other here: {_gap(delivery, place)}{place.misfit:.0f} times "
            "what placing explains; either may be wrong",
            place.misfit / LEAST_MISFIT,
        )  # fmt: skip


def _gap(delivery: Delivery, place: WorstPlace) -> str:
    """Return how far a position lies from where another clip sees it; empty where nobody knows."""
    guided = guides(delivery, place.camera, place.frame, place.landmark)
    gaps_px = [line.gap_px for line in guided if math.isfinite(line.gap_px)]
    return f"{max(gaps_px):.0f} px off, " if gaps_px else ""


def _jumps(delivery: Delivery, camera: Camera) -> Iterator[Look]:
    u_px = default_u_px(delivery, camera)
    interval_s = _interval_s(camera)
    for key, track in camera.tracks.items():
        if key == "ball":
            continue
        quickest_hz = QUICKEST_HZ.get(key.partition("_")[2], QUICKEST_BODY_HZ)
        for jump in jumps(track, u_px[key], LEAST_SCATTER_PX, interval_s, quickest_hz):
            yield entry(
                delivery, camera, jump.frame, key, "jump",
                f"{jump.off_px:.0f} px off the course of the frames before and after",
                jump.size / LEAST_JUMP,
            )  # fmt: skip


def _flips(delivery: Delivery, camera: Camera) -> Iterator[Look]:
    u_px = default_u_px(delivery, camera)
    interval_s = _interval_s(camera)
    by_stretch: dict[tuple[int, int], list[tuple[float, str]]] = {}
    for part in _PARTS:
        left, right = (f"{side}_{part}" for side in ("left", "right"))
        for crossing in crossings(camera.track(left), camera.track(right), u_px[left], interval_s):
            stretch = crossing.first_frame, crossing.last_frame
            by_stretch.setdefault(stretch, []).append((crossing.apart_px, part))
    for (first, last), parts in by_stretch.items():
        where = f"frame {first}" if first == last else f"frames {first} to {last}"
        names = " and ".join(part for _, part in parts)
        yield entry(
            delivery, camera, first, f"left_{max(parts)[1]}", "flip",
            f"left and right may have changed places ({names}, {where})", FLIP_WEIGHT,
        )  # fmt: skip


def _lengths(
    delivery: Delivery, camera: Camera, lengths: dict[str, SegmentLength]
) -> Iterator[Look]:
    """Yield limbs that are seen longer than they are; a shorter one may point at the camera."""
    size = metres_per_px(delivery, camera) if camera.scale is not None else None
    u_px = default_u_px(delivery, camera)
    for segment in SEGMENTS:
        known = lengths.get(segment.key)
        if segment.length_over_height is None:
            continue
        near, far = camera.track(segment.proximal), camera.track(segment.distal)
        usual_px = long_px(near, far)
        if known is not None and size is not None:
            usual_px = (known.length_m + known.u_m) / size
        if math.isnan(usual_px):
            continue
        common, rows, others = np.intersect1d(near.frames, far.frames, return_indices=True)
        seen_px = np.hypot(*(near.xy_px[rows] - far.xy_px[others]).T)
        most_px = MOST_SHARE * usual_px + MOST_U * math.hypot(
            u_px[segment.proximal], u_px[segment.distal]
        )
        share = seen_px / most_px
        for at in np.flatnonzero(share > 1.0).tolist():
            name = segment.key.partition("_")[2].replace("_segment", "").replace("_", " ")
            percent = 100.0 * (seen_px[at] / usual_px - 1.0)
            yield entry(
                delivery, camera, int(common[at]), segment.distal, "length",
                f"the {name} would be {percent:.0f} % longer here than it is: one of its ends is off",
                float(share[at]),
            )  # fmt: skip


def _one_an_incident(delivery: Delivery, found: Sequence[Look]) -> list[Look]:
    """Keep the worst of what concerns one landmark of a clip at one time; crossings come first.

    A crossing makes the courses of its whole pair jump, and limbs too long: these go with it.
    """
    times = {camera.name: camera.timing for camera in delivery.cameras}
    kept: list[tuple[float, Look]] = []
    ordered = sorted(found, key=lambda look: (FIRST.get(look.reason, len(FIRST)), -look.weight))
    for look in ordered:
        timing = times[look.camera]
        at_s = float(timing.real_s(timing.times_s[look.frame]))
        if not any(
            look.camera == other.camera
            and abs(at_s - other_s) <= (2.0 if other.reason == "flip" else 1.0) * SAME_S
            and (look.landmark == other.landmark or _goes_with(look, other))
            for other_s, other in kept
        ):
            kept.append((at_s, look))
    looks = [look for _, look in kept]
    return sorted(looks, key=lambda look: (-look.weight, look.camera, look.frame))


def _goes_with(look: Look, other: Look) -> bool:
    """Return whether one entry only repeats what a worse one says of the same limb."""
    part, other_part = (each.landmark.partition("_")[2] for each in (look, other))
    if other.reason == "flip":
        return part == other_part or f" {part} " in f" {other.text} " or look.reason == "length"
    side, other_side = (each.landmark.partition("_")[0] for each in (look, other))
    is_limb = look.reason == "length" or other.reason == "length"
    return is_limb and side == other_side
