from __future__ import annotations

import json

import pytest

import deliverylab


def _smooth(run, made, *options, landmark="left_knee"):
    return run("smooth", made, "--delivery", "Ana 1", "--landmark", landmark, *options)


def test_text_says_scatter_assumed_u_and_cutoff(run, made):
    status, out, err = _smooth(run, made)
    assert (status, err) == (0, "")
    for words in ("scatter from frame to frame", "assumed u", "suggested cut-off", "14 Hz", "mm"):
        assert words in out


def test_json_holds_the_curve(run, made):
    status, out, err = _smooth(run, made, "--json", "-")
    assert (status, err) == (0, "")
    row = json.loads(out)
    assert row["landmark"] == "left_knee"
    assert row["rate_hz"] == pytest.approx(240.0)
    assert len(row["cutoffs_hz"]) == len(row["residuals_px"])
    # true positions, written to the table with two decimals at most: they hardly scatter
    assert row["scatter_px"] < 0.5 < row["assumed_u_px"]


def test_picture_is_written_and_nothing_over_a_project(run, made, tmp_path):
    status, out, err = _smooth(run, made, "--png", tmp_path / "a.png")
    assert status == 0
    assert "scatter" in out
    assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")
    status, _, err = _smooth(run, made, "--png", made)
    assert status == 2
    assert "write over" in err


def test_what_cannot_be_smoothed_is_one_line(run, made):
    status, out, err = _smooth(run, made, landmark="third_knee")
    assert (status, out) == (6, "")
    assert len(err.splitlines()) == 1


def test_the_figures_are_those_of_the_python_interface(run, made):
    delivery = deliverylab.open_project(made).delivery("Ana 1")
    found = deliverylab.scatter(delivery, "left_knee")
    _, out, _ = _smooth(run, made, "--json", "-")
    assert json.loads(out)["scatter_px"] == pytest.approx(found.scatter_px)
