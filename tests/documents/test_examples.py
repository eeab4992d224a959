"""The example scripts run, from start to end, without a display."""

from __future__ import annotations

import re
import runpy
import sys
from pathlib import Path

import deliverylab as dl

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def test_the_season_runs(tmp_path, monkeypatch, capsys):
    script = EXAMPLES / "season_notebook.py"
    monkeypatch.setattr(sys, "argv", [str(script), "--out", str(tmp_path)])
    ends = runpy.run_path(str(script), run_name="__main__")
    said = capsys.readouterr().out
    assert {path.name for path in tmp_path.iterdir()} >= {
        "results.csv", "differences.json", "events.csv", "release.png",
    }  # fmt: skip
    assert 1 <= len(ends["plan"].priorities) <= 3
    assert len(ends["progress"]) > 10
    assert dl.read_table(tmp_path / "differences.json").equals(ends["differences"])
    assert "units:" in said


def test_it_is_made_of_cells():
    text = (EXAMPLES / "season_notebook.py").read_text("utf-8")
    assert len(re.findall(r"^# %% \w", text, re.MULTILINE)) >= 9
