from __future__ import annotations

import json

import pytest

from deliverylab.core.errors import OutputError, UsageError
from deliverylab.core.report.table_files import read_frame
from deliverylab.shell.outputs import page_picture, page_work, save_page, save_table


@pytest.fixture
def pdf(placed_pair):
    return page_work(placed_pair, "a4")(lambda _share: None).pdf


def test_the_page_is_made_from_a_snapshot(placed_pair):
    work = page_work(placed_pair, "a4")
    placed_pair.new_project()
    shares = []
    made = work(shares.append)
    assert made.pdf.startswith(b"%PDF")
    assert made.doubtful == ""
    assert shares == sorted(shares)
    with pytest.raises(UsageError):
        page_work(placed_pair, "a4")


def test_the_page_is_saved_as_pdf_or_picture(pdf, tmp_path):
    save_page(pdf, tmp_path / "a.pdf")
    assert (tmp_path / "a.pdf").read_bytes() == pdf
    save_page(pdf, tmp_path / "a.png")
    assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")
    with pytest.raises(OutputError):
        save_page(pdf, tmp_path / "no folder" / "a.pdf")
    height, width, _ = page_picture(pdf, 50.0).shape
    assert height / width == pytest.approx(297 / 210, rel=0.01)  # ISO 216, A4


def test_tables_hold_results_of_both_and_the_differences(placed_pair, tmp_path):
    text = save_table(placed_pair, "results", tmp_path / "a.csv").read_text(encoding="utf-8")
    assert "Bo 1" in text
    assert "Kim model" in text
    path = save_table(placed_pair, "differences", tmp_path / "b.json")
    rows = json.loads(path.read_text(encoding="utf-8"))
    assert len(json.dumps(rows)) > 100
    placed_pair.select("model", None)
    with pytest.raises(UsageError):
        save_table(placed_pair, "differences", tmp_path / "c.csv")


@pytest.mark.parametrize("which", ["results", "differences", "tracks", "events", "budgets"])
@pytest.mark.parametrize("ending", [".csv", ".parquet"])
def test_every_table_is_written_in_its_format(placed_pair, tmp_path, which, ending):
    path = save_table(placed_pair, which, tmp_path / f"a{ending}")
    table = read_frame(path)
    assert "metric" in table or "frame" in table
    if which in {"tracks", "events"}:
        assert set(table["delivery"]) == {"Bo 1", "Kim model"}
    if ending == ".parquet":
        assert "units" in table.attrs


def test_another_ending_is_refused(placed_pair, tmp_path):
    with pytest.raises(UsageError, match="says its format"):
        save_table(placed_pair, "tracks", tmp_path / "a.xlsx")
