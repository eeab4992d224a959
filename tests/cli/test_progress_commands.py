from __future__ import annotations

import csv
import io
import json
import re
import shutil

import pytest

from tests.cli.visits_made import visits

__all__ = ["visits"]


def test_it_says_what_changed_and_what_did_not(run, visits):
    status, out, err = run("progress", visits)
    assert status == 0
    said = out.replace("\u00a0", " ")
    assert said.startswith("Ana\n  2 visits, 1 May 2026 to 1 June 2026: ")
    assert "\n  changed\n    Stride" in out
    assert "longer by" in out
    assert "no detectable change" in out
    assert "note: bad.delivery passed over" in err
    assert "Ben" not in out


def test_rows_are_printed_as_json_or_csv(run, visits):
    status, out, _ = run("progress", visits, "--athlete", "ana", "--json", "-")
    assert status == 0
    rows = json.loads(out)
    stride = [row for row in rows if row["metric"] == "stride_length"]
    assert [row["date"] for row in stride] == ["2026-05-01", "2026-06-01"]
    assert {row["verdict"] for row in stride} == {"changed"}
    assert stride[0]["n"] == 3
    _, text, _ = run("progress", visits, "--athlete", "ana", "--csv", "-")
    assert len(list(csv.DictReader(io.StringIO(text)))) == len(rows)


def test_the_sheet_is_written(run, visits, tmp_path):
    status, out, _ = run("progress", visits, "--out", tmp_path / "ana.pdf")
    assert (status, out) == (0, f"written: {tmp_path / 'ana.pdf'}\n")
    assert (tmp_path / "ana.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (("--athlete", "Cy"), 6, "there are: Ana, Ben"),
        (("--out", "none/p.pdf"), 8, "none"),
        (("--json", "-", "--csv", "-"), 2, "cannot both be printed"),
    ],
)
def test_what_cannot_be_done_is_said(run, visits, monkeypatch, tmp_path, arguments, status, said):
    monkeypatch.chdir(tmp_path)
    found, _, err = run("progress", visits, *arguments)
    assert found == status
    assert said in err


def test_an_athlete_with_one_visit_shows_from_the_second_on(run, visits):
    _, out, _ = run("progress", visits, "--athlete", "Ben")
    assert "progress shows from the second one on" in out


def test_of_one_visit_it_says_how_alike_the_deliveries_are(run, visits, tmp_path):
    shutil.copy(visits / "june.delivery", tmp_path / "june.delivery")
    _, out, _ = run("progress", tmp_path, "--athlete", "Ana")
    assert "one visit only: how alike its deliveries are" in out
    assert re.search(
        r"Stride +85\.\d ± \d\.\d % of height \(3\) +spread 0\.50 % of height over 3", out
    )
    _, out, _ = run("progress", visits, "--athlete", "Ben")
    assert "one delivery only: " in out


def test_where_nobody_came_twice_it_says_so(run, visits, tmp_path):
    shutil.copy(visits / "june.delivery", tmp_path / "june.delivery")
    status, out, _ = run("progress", tmp_path)
    assert (status, out) == (0, "no athlete has two visits: dates of deliveries tell them apart\n")
    status, _, err = run("progress", tmp_path, "--out", tmp_path / "a.pdf")
    assert status == 2
    assert "the sheet is of one athlete" in err
    assert run("progress", tmp_path / "gone")[0] == 6
    (tmp_path / "empty").mkdir()
    assert "there is no delivery in" in run("progress", tmp_path / "empty")[1]
