from __future__ import annotations

import csv
import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import deliverylab
from deliverylab.core.report.raster import page_sizes_mm
from deliverylab.core.video.writer import write_clip
from tests.cli.visits_made import visits

__all__ = ["visits"]

ROW = {"delivery", "metric", "event", "status", "value", "unit", "U", "reason", "definition"}


def _rows(run, made, *options):
    status, out, err = run("measure", made, "--json", "-", *options)
    assert (status, err) == (0, "")
    return json.loads(out)


def test_json_holds_every_result_with_what_was_asked_for(run, made):
    rows = _rows(run, made)
    assert rows
    assert all(set(row) >= ROW for row in rows)
    assert {row["delivery"] for row in rows} == {"Ana 1", "Model"}
    for row in rows:
        is_shown = row["status"] != "not_shown"
        assert (row["value"] is not None) == (row["U"] is not None) == is_shown
        assert bool(row["reason"]) != is_shown


def test_the_results_are_those_of_the_python_interface(run, made):
    rows = _rows(run, made, "--delivery", "Model")
    results = deliverylab.measure(deliverylab.open_project(made).delivery("Model"))
    assert [(r["metric"], r["event"], r["value"]) for r in rows] == [
        (result.metric, result.event, result.value) for result in results
    ]


def test_the_planted_stride_is_measured(run, made):
    # the drawn delivery strides 76.5 % of its height; half a per cent is what the geometry allows
    (stride,) = [
        row
        for row in _rows(run, made, "--delivery", "Ana 1")
        if row["metric"] == "stride_length" and row["unit"] == "% height"
    ]
    assert stride["value"] == pytest.approx(76.5, abs=0.5)


def test_csv_and_json_files_hold_the_same_rows(run, made, tmp_path):
    files = tmp_path / "r.csv", tmp_path / "r.json"
    status, out, err = run("measure", made, "--csv", files[0], "--json", files[1])
    assert status == 0
    assert "Stride" in out
    assert err.count("written:") == 2
    with files[0].open(encoding="utf-8", newline="") as file:
        as_csv = list(csv.DictReader(file))
    as_json = json.loads(files[1].read_text(encoding="utf-8"))
    assert [row["metric"] for row in as_csv] == [row["metric"] for row in as_json]
    assert set(as_csv[0]) >= ROW


def test_csv_is_printed_alone_when_asked_for(run, made):
    _, out, _ = run("measure", made, "--csv", "-")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert len(rows) == len(_rows(run, made))


def test_the_table_groups_by_phase_and_says_why_not(run, made):
    status, out, _ = run("measure", made)
    assert status == 0
    lines = out.splitlines()
    assert lines[0] == "Ana 1  (Ana, right-handed; open-side)"
    places = [lines.index(f"  {name}") for name in ("leg lift", "foot contact", "release")]
    assert places == sorted(places)
    assert re.search(r"Lead knee flexion +at release +\d+° ± \d+", out)
    assert "film with a second phone" in out
    assert "- Throwing elbow flexion (foot contact, release): " in " ".join(out.split())


def test_units_of_the_table_are_the_readers_and_those_of_json_never_change(run, made):
    _, metric, _ = run("measure", made, "--delivery", "Model")
    _, imperial, _ = run("measure", made, "--delivery", "Model", "--units", "imperial")
    assert " m/s" in metric
    assert " mph" not in metric
    assert " mph" in imperial
    assert " m/s" not in imperial
    assert _rows(run, made, "--units", "imperial") == _rows(run, made)


def test_the_comparison_ranks_what_is_clear(run, made):
    status, out, _ = run("compare", made, "Ana 1", "Model")
    assert status == 0
    assert out.startswith("Ana 1 (Ana)  compared with  Model (Model)")
    assert re.search(r"^ +1\. +\S", out, flags=re.MULTILINE)
    assert "shorter" in out
    assert "not comparable" in out
    status, text, _ = run("compare", made, "Ana 1", "Model", "--json", "-")
    rows = json.loads(text)
    ranks = [row["rank"] for row in rows if row["verdict"] == "clear"]
    assert ranks == list(range(1, len(ranks) + 1))
    assert {row["verdict"] for row in rows} == {"clear", "within_error", "not_comparable"}


def test_a_delivery_compared_with_itself_shows_no_difference(run, made):
    _, text, _ = run("compare", made, "Model", "Model", "--json", "-")
    assert {row["verdict"] for row in json.loads(text)} == {"within_error", "not_comparable"}
    _, out, _ = run("compare", made, "Model", "Model")
    assert "no clear difference" in out


@pytest.mark.parametrize(("paper", "size_mm"), [("a4", (210, 297)), ("letter", (215.9, 279.4))])
def test_the_page_is_written(run, made, tmp_path, paper, size_mm):
    pdf, png = tmp_path / "p.pdf", tmp_path / "p.png"
    status, out, _ = run(
        "page", made, "Ana 1", "Model", "--out", pdf, "--paper", paper, "--png", png
    )
    assert status == 0
    assert out == f"written: {pdf}\nwritten: {png}\n"
    (size,) = page_sizes_mm(pdf)
    assert size == pytest.approx(size_mm, abs=0.5)
    assert png.read_bytes().startswith(b"\x89PNG")


def test_the_technical_sheet_is_written_beside_the_page(run, made, tmp_path):
    pdf, sheet = tmp_path / "p.pdf", tmp_path / "t.pdf"
    status, out, _ = run("page", made, "Ana 1", "Model", "--out", pdf, "--technical", sheet)
    assert status == 0
    assert out == f"written: {pdf}\nwritten: {sheet}\n"
    assert len(page_sizes_mm(sheet)) > 1
    status, out, _ = run("page", made, "Ana 1", "published college", "--out", pdf)
    assert status == 0
    status, _, _ = run("page", made, "Ana 1", "Model", "--out", pdf, "--technical", pdf)
    assert status == 2


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (("compare", "Ana 1", "Ben"), 6, "no such delivery (Ben)"),
        (("page", "Ben", "Model", "--out", "p.pdf"), 6, "no such delivery (Ben)"),
        (("page", "Ana 1", "Model"), 2, "--out"),
        (("page", "Ana 1", "Model", "--out", "p.png"), 2, "let its name end in .pdf"),
        (("page", "Ana 1", "Model", "--out", "p.pdf", "--png", "p.jpg"), 2, "end in .png"),
        (("page", "Ana 1", "Model", "--out", "none/p.pdf"), 8, "none"),
        (("measure", "--delivery", "Ben"), 6, "the deliveries are: Ana 1, Model"),
        (("measure", "--json", "-", "--csv", "-"), 2, "two tables cannot both be printed"),
        (("measure", "--json", "none/r.json"), 8, "the table cannot be written"),
    ],
)
def test_failures_have_their_status(run, made, arguments, status, said, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    command, *rest = arguments
    found, _, err = run(command, made, *rest)
    assert (found, said in err) == (status, True), err
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "options",
    [
        ("measure", "--json", "a.delivery"),
        ("measure", "--csv", "other.delivery"),
        ("measure", "--csv", "clip.mp4"),
        ("measure", "--csv", "r.txt", "--json", "./r.txt"),
        ("check", "--json", "a.delivery"),
        ("compare", "--json", "sub/../a.delivery"),
        ("page", "--out", "a.delivery"),
        ("page", "--out", "p.pdf", "--png", "p.pdf"),
        ("page", "--out", "clip.mp4"),
    ],
)
def test_no_output_is_written_over_an_input(run, project, options, monkeypatch):
    folder = project.parent
    (folder / "sub").mkdir()
    clip = write_clip(folder / "clip.mp4", [np.zeros((16, 16, 3), np.uint8)] * 3, 30)
    assert run("add", project, "--delivery", "Ana 2", "--clip", clip)[0] == 0
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    monkeypatch.chdir(folder)
    command, *rest = options
    pair = ("Ana 1", "Model") if command in {"compare", "page"} else ()
    status, _, err = run(command, "a.delivery", *pair, *rest)
    assert (status, "would write over" in err) == (2, True), err
    assert {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()} == before


def test_what_is_printed_for_programs_is_utf8_everywhere(made):
    environment = os.environ | {"PYTHONIOENCODING": "latin-1", "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "deliverylab", "measure", str(made), "--json", "-"],
        cwd=Path(__file__).parents[2],
        env=environment,
        capture_output=True,
        check=True,
    )
    definitions = " ".join(row["definition"] for row in json.loads(done.stdout))
    assert "\N{MINUS SIGN}" in definitions
    assert "?" not in definitions


def test_an_empty_project_is_measured_to_nothing(run, tmp_path):
    from deliverylab.core.model.project import Project

    path = tmp_path / "a.delivery"
    deliverylab.save_project(Project(), path)
    assert run("measure", path) == (0, "the project holds no delivery\n", "")
    assert run("measure", path, "--json", "-") == (0, "[]\n", "")


def test_the_budget_of_one_result_says_what_would_help(run, made):
    status, out, _ = run("measure", made, "--delivery", "Ana 1", "--budget", "stride_length")
    assert status == 0
    assert re.search(
        r"Stride: [\d.]+ % of height ± [\d.]+ +\(k = 2\.00\)|Stride: .*\(k = 2\.00\)", out
    )
    assert re.search(r"placing the lead ankle +foot plant +0\.\d+ % of height +\d+\.\d %", out)
    assert "place the lead ankle at foot plant again" in out
    assert "what would help most" in out
    assert "Lead knee" not in out


def test_budgets_in_json_add_up(run, made):
    rows = _rows(run, made, "--budget", "lead_knee_flexion/release")
    assert len(rows) == 2
    for row in rows:
        assert row["k"] == 2.0
        assert sum(part["share_of_variance"] for part in row["budget"]) == pytest.approx(1.0)
        assert sum(part["u"] ** 2 for part in row["budget"]) == pytest.approx(row["u"] ** 2)
        assert {part["landmark"] for part in row["budget"]} >= {"lead_hip", "lead_knee"}
    assert "budget" not in _rows(run, made)[0]


@pytest.mark.parametrize("choice", ["stride", "lead_knee_flexion/finish", "stride_length/release"])
def test_a_budget_of_nothing_is_refused(run, made, choice):
    status, _, err = run("measure", made, "--budget", choice)
    assert status != 0
    assert err.count("\n") == 1


def test_budgets_from_python(made):
    delivery = deliverylab.open_project(made).delivery("Ana 1")
    stride = deliverylab.budget(delivery, "stride_length")
    assert [part.u for part in stride] == sorted((part.u for part in stride), reverse=True)
    assert deliverylab.what_would_help(delivery)[0].gain > 0.0
    with pytest.raises(deliverylab.core.errors.NotFoundError, match="not taken"):
        deliverylab.budget(delivery, "stride_length", "release")


def test_the_check_by_monte_carlo_stands_beside_the_first_order(run, made):
    options = ("--delivery", "Model", "--budget", "lead_knee_flexion", "--monte-carlo", "2000")
    status, out, _ = run("measure", made, *options)
    assert status == 0
    assert re.search(
        r"at release +\d+\.\d ± \d+\.\d ° +\d+\.\d .* to \d+\.\d +(agrees|differs)", out
    )
    status, _, err = run("measure", made, "--monte-carlo", "12")
    assert status != 0
    assert "1000" in err
    status, out, _ = run("measure", made, *options, "--json", "-")
    rows = json.loads(out)
    drawn = [row["monte_carlo"] for row in rows if row["value"] is not None]
    assert drawn
    assert all(each["mc_low"] < each["mc_value"] < each["mc_high"] for each in drawn)
    assert all(row["monte_carlo"] is None for row in rows if row["value"] is None)


def test_budgets_are_in_the_readers_units(run, made):
    options = ("--delivery", "Model", "--budget", "stride_length_m", "--units")
    metric, imperial = (run("measure", made, *options, each)[1] for each in ("metric", "imperial"))
    assert re.search(r"\d (m|cm)\b", metric)
    assert re.search(r"\d in\b", imperial)
    assert not re.search(r"\d (m|cm)\b", imperial)


def test_monte_carlo_from_python(made):
    delivery = deliverylab.open_project(made).delivery("Model")
    checks = deliverylab.cross_check(delivery, max_draws=1000)
    shown = [result for result in deliverylab.measure(delivery) if result.is_shown]
    assert [check.result for check in checks] == shown
    assert {"mc_u", "mc_validates"} <= checks[0].as_row().keys()


def test_several_deliveries_and_published_groups_can_be_compared(run, visits):
    project = visits / "june.delivery"
    status, out, _ = run("compare", project, "all of Ana", "Ben 1")
    assert status == 0
    assert out.startswith("all of Ana (Ana; mean of 3 deliveries)  compared with  Ben 1 (Ben)")
    assert "in brackets: how many a mean is of, and their spread" in out
    assert re.search(r"Stride +85\.\d ± \d\.\d % of height \(3, 0\.5 % of height\)", out)
    status, text, _ = run(
        "compare", project, "Ana on 2026-06-01", "published college", "--json", "-"
    )
    assert status == 0
    stride = next(row for row in json.loads(text) if row["metric"] == "stride_length")
    assert (stride["n_a"], stride["n_b"], stride["spread_b"]) == (3, 30, 4.2)
    status, out, _ = run("compare", project, "Ana june 1 + Ana june 2", "published youth")
    assert "ranked by: spread between youth pitchers" in out or "no clear difference" in out
    assert "theirs is an angle in space" in out
    assert "nothing of this definition is published" in out
    status, _, err = run("compare", project, "all of Cy", "Ben 1")
    assert status == 6
    assert "an athlete (Ana, Ben)" in err
