"""A season in a notebook: ``python examples/season_notebook.py``, or cell by cell in an editor.

It opens the example that comes with the program (an invented pitcher, drawn clips), measures, asks what a
number rests on, compares, looks for where differences begin, makes a plan, follows the athlete over
three visits, and hands tables and a picture on.  Cells begin with ``# %%``.
"""

# %% Open
from __future__ import annotations

import argparse
import datetime as dt
import tempfile
from pathlib import Path

import deliverylab as dl
from deliverylab.core.errors import NotFoundError

ARGUMENTS = argparse.ArgumentParser(description="A season, cell by cell.")
ARGUMENTS.add_argument("--out", type=Path, help="folder for what is written (default: a new one)")
# in a notebook the arguments are the notebook's own
OUT = ARGUMENTS.parse_known_args()[0].out or Path(tempfile.mkdtemp(prefix="season-"))
OUT.mkdir(parents=True, exist_ok=True)

project = dl.example_project()
own, model = (project.delivery(name) for name in project.record.pair or ("", ""))
print(f"{own.athlete.name}: {own.name}, compared with {model.name}")

# %% Measure: one row a metric and event, units beside it
results = dl.results(own)
shown = results[results.status != "not_shown"]
print(shown[["metric", "event", "value", "U", "unit"]].head(12).to_string(index=False))
print(f"{len(shown)} of {len(results)} are shown; for the others 'reason' says why not")

# %% Budgets: what limits the stride's length, and what would help
budgets = dl.budgets(own)
stride = budgets[budgets.metric == "stride_length"]
print(stride[["source", "landmark", "u", "share_of_variance", "remedy"]].to_string(index=False))

# %% Positions over time: the throwing hand, on real time
tracks = dl.tracks(own)
side = tracks[(tracks.camera == "side") & (tracks.landmark == f"{own.athlete.hand}_hand")]
print(f"{len(side)} places, {side.real_time_s.max() - side.real_time_s.min():.2f} s;", end=" ")
print("units:", tracks.attrs["units"])

# %% Compare two deliveries
differences = dl.differences(project, own.name, model.name)
clear = differences[differences.verdict == "clear"].sort_values("rank")
print(clear[["rank", "name", "event", "a", "b", "d", "U", "unit", "words"]].head(8).to_string())

# %% Compare several: all of October with the published college group
VISITS = dl.example_path().parent / "visits"
october = dl.open_project(VISITS / "aldery-october.delivery")
group = dl.differences(october, f"all of {own.athlete.name}", "published college")
print(group.verdict.value_counts().to_string())

# %% Where do the differences begin, and what commonly follows?
chain = dl.chain(own, model)
print("\n".join(chain.sentences))

# %% A plan: up to three things to work on until the next visit
plan = dl.suggest_plan(project, own.name, model.name, today=dt.date(2026, 8, 29))
for number, priority in enumerate(plan.priorities, start=1):
    print(f"{number}. {priority.metric} {priority.event}: {priority.cue} ({priority.drill})")

# %% Progress over visits, and how alike the throws of one visit are
progress = dl.progress(VISITS, own.athlete.name)
print(progress[["metric", "event", "date", "value", "change", "verdict"]].tail(8).to_string())
repeatability = dl.repeatability(october.record.deliveries)
print(repeatability[["metric", "event", "mean", "spread", "unit"]].head(8).to_string(index=False))

# %% Hand it on: tables, a picture of release
written = [
    dl.write_table(results, OUT / "results.csv"),
    dl.write_table(differences, OUT / "differences.json"),
    dl.write_table(dl.events(project), OUT / "events.csv"),
    dl.write_picture(dl.example_path(), own.name, "release", OUT / "release.png"),
]
try:
    written.append(dl.write_table(tracks, OUT / "tracks.parquet"))
except NotFoundError as problem:
    print(problem)
print(*written, sep="\n")
