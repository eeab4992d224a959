"""One camera under evaluation: equality by what results take from it."""

from __future__ import annotations

import msgspec

from deliverylab.core.metrics.sight import Sight

replace = msgspec.structs.replace


def test_equal_when_only_positions_differ(side):
    camera = side.delivery.cameras[0]
    tracks = dict(camera.tracks)
    tracks["left_knee"] = tracks["left_knee"].replaced(3, None)
    other = replace(camera, tracks=tracks)
    assert Sight(side.delivery, camera) == Sight(side.delivery, other)
    assert hash(Sight(side.delivery, camera)) == hash(Sight(side.delivery, other))


def test_unequal_when_the_scale_differs_or_lengths_come_from_the_tracks(side):
    camera = side.delivery.cameras[0]
    turned = replace(camera, scale=replace(camera.scale, yaw_deg=4.0))
    assert Sight(side.delivery, camera) != Sight(side.delivery, turned)
    bare = replace(camera, scale=None)
    assert Sight(side.delivery, bare) != Sight(side.delivery, bare)
