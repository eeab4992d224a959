"""Events of a clip that were marked in another clip of the same delivery, by the solved clocks."""

from __future__ import annotations

import msgspec

from deliverylab.core.model.delivery import Camera, Delivery, Mark


def with_known_marks(delivery: Delivery, camera: Camera) -> Camera:
    """Return a camera with the marks of its own, and those that solved clocks carry over to it.

    What was marked in the clip itself stays as it is; of several other clips the one solved first
    tells.  Without a solution that may be used, the camera itself.

    Parameters
    ----------
    delivery : Delivery
    camera : Camera
        One of its cameras.

    Returns
    -------
    Camera
        Its `marks` in the order of time.
    """
    space = delivery.space
    if space is None or space.is_refused:
        return camera
    there = {each.name for each in delivery.cameras}
    names = [each.name for each in space.cameras if each.name in there]
    if camera.name not in names:
        return camera
    own_offset_s = space.camera(camera.name).offset_s
    marks = dict(camera.marks)
    for name in names:
        other = delivery.camera(name)
        for event, mark in other.marks.items():
            if event in marks:
                continue
            real_s = float(other.timing.real_s(mark.time_s)) + space.camera(name).offset_s
            time_s = float(camera.timing.clip_s(real_s - own_offset_s))
            marks[event] = Mark(time_s=time_s, origin=mark.origin)
    ordered = dict(sorted(marks.items(), key=lambda entry: entry[1].time_s))
    return msgspec.structs.replace(camera, marks=ordered)
