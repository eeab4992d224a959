from __future__ import annotations

import json

import numpy as np

from deliverylab.cli import main
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import save_project
from tests.benchmarks.bench_review import filmed, moved, with_tracks


def test_look_prints_what_to_check_and_why(tmp_path, capsys):
    delivery, _ = filmed(7001, 240.0, 0.7)
    track = delivery.cameras[0].track("head_top")
    wrong = with_tracks(delivery, {"head_top": moved(track, slice(90, 91), np.array([0.0, 40.0]))})
    path = tmp_path / "may.delivery"
    save_project(ProjectRecord(deliveries=(wrong,)), path)
    assert main(["look", str(path), "--delivery", delivery.name]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert "to look at" in printed
    assert "side, frame 90, top of head: " in printed
    assert "px off the course of the frames before and after" in printed
    assert main(["look", str(path), "--delivery", delivery.name, "--json", "-"]) == 0
    rows = json.loads(capsys.readouterr().out)
    (row,) = [each for each in rows if each["landmark"] == "head_top"]
    assert (row["reason"], row["frame"], row["camera"]) == ("jump", 90, "side")
    assert main(["look", str(path), "--delivery", "no one"]) == 6
