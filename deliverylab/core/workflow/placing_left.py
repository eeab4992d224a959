"""What is still to be placed until a result is there, counted and in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import METRICS, instant_text
from deliverylab.core.metrics.sight import Sight
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.workflow.placing_plan import Ask


@dataclass(frozen=True, kw_only=True)
class Need:
    """What a result of one clip still lacks.

    Attributes
    ----------
    metric, name, event : str
        The metric's key and name, and the event its result is listed under; or empty.
    missing : tuple of Ask
        Landmarks that have no position at its instants: frames and keys.
    otherwise : str
        Why it would not be there even with them; empty where they are all it lacks.
    """

    metric: str
    name: str
    event: str
    missing: tuple[Ask, ...]
    otherwise: str = ""

    @property
    def result_name(self) -> str:
        """The result in words: ``trunk forward tilt at release``."""
        name = f"{self.name[:1].lower()}{self.name[1:]}"
        instant = instant_text(self.name, self.event)
        return f"{name} {instant}" if instant else name


def needed(delivery: Delivery, camera: Camera) -> tuple[Need, ...]:
    """Return what each posture's result of a clip still lacks, those with the fewest points first.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        As they are now.

    Returns
    -------
    tuple of Need
        Results that lack landmarks only, then those that lack something else as well; none for a
        result that has all its landmarks.

    Notes
    -----
    It goes by the same positions and checks as the evaluation.  Results over time are left out:
    they come with positions in many frames, which is what tracking is for.
    """
    sight = Sight(delivery, camera)
    found = []
    for spec in METRICS:
        if spec.kind not in {"at_event", "between_events"}:
            continue
        for event in spec.result_events:
            if camera.view in spec.views_at(event):
                need = _need(spec, event, sight)
                if need.missing:
                    found.append(need)
    return tuple(sorted(found, key=lambda need: (bool(need.otherwise), len(need.missing))))


def _need(spec: MetricSpec, event: str, sight: Sight) -> Need:
    delivery, camera = sight.delivery, sight.camera
    absence = (
        validity.not_scaled(spec, delivery, camera)
        or validity.off_square(spec, camera, sight.suspected_yaw_deg)
        or (validity.NO_SCALE if sight.setup is None else None)
    )
    otherwise = "" if absence is None else absence.reason
    missing: list[Ask] = []
    for number, each in enumerate(spec.instants(event)):
        seen = sight.positions(each)
        if seen is None:
            otherwise = otherwise or f"{event_entry(each).name} not marked"
            continue
        frame = camera.timing.frame_at(camera.marks[seen.event].time_s)
        for role in spec.landmarks_at(number):
            if seen.of(role) is None:
                key = key_for_role(role, delivery.athlete.hand)
                missing.append(Ask(frame, key))
                if camera.is_occluded(key, frame):
                    hidden = validity.not_placed((role,), seen, delivery, camera)
                    otherwise = otherwise or ("" if hidden is None else hidden.reason)
    asks = tuple(dict.fromkeys(missing))
    return Need(metric=spec.key, name=spec.name, event=event, missing=asks, otherwise=otherwise)


def nearest_text(needs: Sequence[Need]) -> str:
    """Return what the fewest points give: ``2 more points give stride length``; empty for nothing.

    Results that come with the same points are counted.
    """
    able = [need for need in needs if not need.otherwise]
    if not able:
        return ""
    nearest = able[0]
    points = set(nearest.missing)
    n_with = sum(set(need.missing) <= points for need in able) - 1
    n = len(nearest.missing)
    given = f"{n} more point{'s' if n > 1 else ''} give{'' if n > 1 else 's'} {nearest.result_name}"
    return f"{given} and {n_with} more result{'s' if n_with > 1 else ''}" if n_with else given
