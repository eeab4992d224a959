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
