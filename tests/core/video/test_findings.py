"""What was done to a clip's time is found, and nothing where nothing was."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.video.findings import stamp_findings
from deliverylab.core.video.probe import probe
from tests.core.video.doctored import DOCTORED, doctored_clip

FOUND = {
    "plain": set(),
    "pulled-down": {"repeats"},
    "lost-and-repeated": {"repeats"},
    "lost-true-stamps": {"gaps"},
    "blended": {"interpolated"},
    "motion-interpolated": {"interpolated"},
    "ramp-true-stamps": {"varying"},
}


@pytest.mark.parametrize("kind", FOUND)
def test_each_is_called_what_it_is(tmp_path, kind):
    assert FOUND[kind] == DOCTORED[kind][1]
    doctored_clip(tmp_path / "c.mp4", kind, np.random.default_rng(0))
    report = probe(tmp_path / "c.mp4")
    assert {finding.kind for finding in report.findings} == FOUND[kind]
    assert all(finding.frames and finding.follows for finding in report.findings)
    withheld = {finding.kind for finding in report.findings if finding.withholds_speeds}
    assert withheld == FOUND[kind] & {"interpolated"}


def test_a_pull_down_gives_the_true_spacing(tmp_path):
    doctored_clip(tmp_path / "c.mp4", "pulled-down", np.random.default_rng(0))
    report = probe(tmp_path / "c.mp4")
    steps_s = np.diff(report.repair.times_s)
    # 24 pictures a second stored as 30
    assert sorted(set(np.round(steps_s, 9))) == pytest.approx([0.0, 1 / 24], abs=1e-6)
    assert not steps_s[np.array(report.duplicate_frames) - 1].any()


def test_gaps_and_uneven_stamps_are_told_apart():
    even = np.arange(60) / 30
    assert stamp_findings(even, is_variable=False) == ()
    gap = np.delete(even, 20)
    (finding,) = stamp_findings(gap, is_variable=True)
    assert (finding.kind, finding.frames) == ("gaps", ((19, 20),))
    uneven = np.cumsum(np.tile([0.01, 0.03], 20))
    assert stamp_findings(uneven, is_variable=True)[0].kind == "varying"
    assert stamp_findings(np.zeros(1), is_variable=False) == ()


# Own measurement on fresh clips: see the table that `bench_clip_checks.py` prints.
@pytest.mark.parametrize(
    "kind", ["lost-even-stamps", "ramp-even-stamps", "delivery-lost", "delivery-ramp"]
)
def test_what_even_stamps_hide_is_found_in_part(tmp_path, kind):
    found = [_found(tmp_path, kind, seed) for seed in (0, 1, 2)]
    (expected,) = DOCTORED[kind][1]
    hits = [each for each in found if expected in {finding.kind for finding in each}]
    assert hits
    for finding in (finding for each in hits for finding in each if finding.kind == expected):
        assert finding.withholds_speeds
        assert finding.remedy


def test_a_delivery_speeds_up_by_itself(tmp_path):
    found = [{f.kind for f in _found(tmp_path, "delivery", seed)} for seed in range(3)]
    # seen in one of these: a delivery whose pictures jump by themselves
    assert sum("dropped" in kinds for kinds in found) <= 1
    assert not set().union(*found) & {"ramp", "interpolated"}


def _found(folder, kind, seed):
    doctored_clip(folder / "c.mp4", kind, np.random.default_rng(seed))
    return probe(folder / "c.mp4").findings
