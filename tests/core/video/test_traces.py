from __future__ import annotations

import av
import numpy as np
import pytest

from deliverylab.core.video.traces import PictureMeter


def stored(grey):
    picture = np.repeat(grey[..., None], 3, axis=2).astype(np.uint8)
    return av.VideoFrame.from_ndarray(picture, format="rgb24").reformat(format="yuv420p")


def traces_of(pictures, frames=None):
    meter = PictureMeter(len(pictures))
    for frame in range(len(pictures)) if frames is None else frames:
        meter.add(frame, stored(pictures[frame]))
    return meter.traces()


def bars(shift):
    x = np.arange(160)[None, :] - shift
    return np.broadcast_to(120 + 60 * np.sin(x / 4.0), (90, 160)).copy()


def test_a_mixture_lies_between_its_neighbours():
    one, two = bars(0), bars(8)
    traces = traces_of([one, 0.5 * (one + two), two, bars(16)])
    assert traces.blends[1] < 0.05
    assert traces.blends[2] > 0.3
    assert np.isnan(traces.blends[[0, 3]]).all()


def test_what_is_softer_has_less_detail():
    sharp = np.random.default_rng(0).integers(20, 230, (90, 160)).astype(float)
    soft = (sharp + np.roll(sharp, 1, axis=1)) / 2
    traces = traces_of([sharp, soft, sharp])
    assert traces.sharpening[1] < -0.2
    assert traces.sharpening[2] == pytest.approx(-traces.sharpening[1], rel=0.05)


def test_a_frame_that_is_lost_leaves_no_traces():
    traces = traces_of([bars(k) for k in range(5)], frames=[0, 1, 3, 4])
    assert traces.undecodable_frames == (2,)
    assert np.isnan(traces.changes[[0, 2, 3]]).all()
    assert np.isfinite(traces.changes[[1, 4]]).all()
