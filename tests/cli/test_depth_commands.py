from __future__ import annotations

import json

import pytest

from deliverylab.core.store.projectfile import load_project

TARGET = ("--delivery", "Ana 1")


def choices_of(project):
    return load_project(project).deliveries[0].cameras[0].depth_choices


def release_of(rows):
    """Return the row of the elbow's flexion at release."""
    return next(r for r in rows if (r["metric"], r["event"]) == ("elbow_flexion", "release"))


def test_both_limbs_told_give_an_estimate_that_says_so(run, project):
    status, out, _ = run("nearer", project, *TARGET, "release", "upper_arm=elbow", "forearm=wrist")
    assert status == 0
    assert "release, forearm, nearer to the camera: wrist" in out
    assert choices_of(project) == {
        "release": {"throwing_upper_arm": "nearer", "throwing_forearm": "nearer"}
    }
    _, out, _ = run("measure", project, *TARGET, "--json", "-")
    assert release_of(json.loads(out))["status"] == "estimated"
    _, out, _ = run("measure", project, *TARGET)
    assert "about" in out
    assert "(estimated)" in out


def test_an_estimate_that_is_too_unsure_is_not_shown(run, project):
    run("nearer", project, *TARGET, "release", "upper_arm=shoulder", "forearm=wrist")
    _, out, _ = run("measure", project, *TARGET, "--json", "-")
    row = release_of(json.loads(out))
    assert row["status"] == "not_shown"
    assert row["reason"].startswith("too unsure")


def test_what_was_said_is_taken_back(run, project):
    run("nearer", project, *TARGET, "release", "forearm=wrist")
    status, out, _ = run("nearer", project, *TARGET, "release", "forearm=none")
    assert (status, choices_of(project)) == (0, {})
    assert "release, forearm, nearer to the camera: not said" in out


@pytest.mark.parametrize(
    ("event", "end", "said"),
    [
        ("release", "leg=knee", "no such limb"),
        ("release", "forearm=shoulder", "no such end"),
        ("lunch", "forearm=wrist", "unknown event"),
    ],
)
def test_what_does_not_exist_is_refused(run, project, event, end, said):
    status, _, err = run("nearer", project, *TARGET, event, end)
    assert status != 0
    assert said in err
    assert choices_of(project) == {}
