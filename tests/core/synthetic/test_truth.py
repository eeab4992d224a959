from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest

from deliverylab.core.synthetic.scenario import demo_scenario, example_clip
from deliverylab.core.synthetic.truth import (
    clip_truth,
    position_rows,
    positions_px,
    spec_from_truth,
)

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
NAMES = list(demo_scenario())


@pytest.mark.parametrize("name", NAMES)
def test_spec_survives_the_file(name):
    clip = example_clip(name)
    assert spec_from_truth(json.loads(json.dumps(clip_truth(clip)))) == clip.spec


def test_truth_projects_its_own_points():
    clip = example_clip("model-side")
    truth = clip_truth(clip)
    a, b = np.array(truth["scale_stick"]["points_px"])
    # the stick lies in the plane at the camera's distance: pixels = focal length / distance
    assert np.linalg.norm(b - a) == pytest.approx(clip.focal_px / clip.distance_m, rel=1e-5)
    assert truth["toward_plate"] == "left"
    assert truth["rate_hz"] == "240"
    middle = np.mean(truth["rubber"]["corners_px"][:2], axis=0)
    assert truth["rubber"]["front_middle_px"] == pytest.approx(middle, abs=12.0)


def test_positions_outside_the_picture_are_left_out():
    clip = example_clip("athlete-side")
    where = positions_px(clip)
    rows = position_rows(clip)
    assert len(rows) == int(np.isfinite(where[..., 0]).sum())
    assert np.isnan(where[-1, -1]).all()  # the ball is long gone
    assert where.shape == (clip_truth(clip)["n_frames"], 21, 2)


@pytest.mark.parametrize("name", NAMES)
def test_shipped_files_are_those_of_the_scenario(name):
    clip = example_clip(name)
    stored = json.loads((EXAMPLES / "truth" / f"{name}.json").read_text(encoding="utf-8"))
    assert stored == json.loads(json.dumps(clip_truth(clip)))
    with (EXAMPLES / "truth" / f"{name}.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    made = position_rows(clip)
    assert len(rows) == len(made)
    for row, (frame, key, x, y) in list(zip(rows, made, strict=True))[::97]:
        assert (int(row["frame"]), row["landmark"]) == (frame, key)
        # written to 0.01 px
        assert (float(row["x_px"]), float(row["y_px"])) == pytest.approx((x, y), abs=0.006)
    assert (EXAMPLES / "clips" / f"{name}.mp4").stat().st_size < 1_500_000
