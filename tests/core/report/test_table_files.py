from __future__ import annotations

import builtins
import json

import pandas as pd
import pytest

from deliverylab.core.compare.difference import differences
from deliverylab.core.errors import InputValueError, NotFoundError, OutputError, UsageError
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.report.table_files import FORMATS, format_of, read_frame, write_frame
from deliverylab.core.report.tables import differences_frame, results_frame
from deliverylab.core.report.tables_tracks import budgets_frame, events_frame, tracks_frame


@pytest.fixture(scope="module")
def tables(athlete, model):
    return {
        "results": results_frame([*evaluate(athlete), *evaluate(model)]),
        "differences": differences_frame(differences(athlete, model)),
        "tracks": tracks_frame([athlete]),
        "events": events_frame([athlete, model]),
        "budgets": budgets_frame(evaluate(athlete)),
    }


@pytest.mark.parametrize("ending", FORMATS)
@pytest.mark.parametrize("which", ["results", "differences", "tracks", "events", "budgets"])
def test_every_number_comes_back_as_it_was(tables, which, ending, tmp_path):
    frame = tables[which]
    back = read_frame(write_frame(frame, tmp_path / f"t{ending}"))
    pd.testing.assert_frame_equal(back, frame, check_exact=True)
    if ending != ".csv":
        assert back.attrs == frame.attrs


def test_a_name_that_reads_like_a_gap_is_a_name(tables, tmp_path):
    frame = tables["events"].assign(delivery="NA")
    for ending in FORMATS:
        back = read_frame(write_frame(frame, tmp_path / f"t{ending}"))
        assert set(back["delivery"]) == {"NA"}


def test_parquet_tells_other_readers_what_a_column_is(tables, tmp_path):
    parquet = pytest.importorskip("pyarrow.parquet")
    schema = parquet.read_schema(write_frame(tables["tracks"], tmp_path / "t.parquet"))
    told = schema.field("real_time_s").metadata
    assert told[b"unit"] == b"s"
    assert b"real seconds" in told[b"holds"]
    assert b"unit" not in schema.field("landmark").metadata


def test_json_holds_units_beside_the_rows(tables, tmp_path):
    whole = json.loads(write_frame(tables["results"], tmp_path / "t.json").read_text("utf-8"))
    assert whole["units"]["release_height"] == "m"
    hidden = [row for row in whole["rows"] if row["status"] == "not_shown"]
    assert hidden
    assert all(row["value"] is None for row in hidden)


def test_without_its_library_parquet_says_what_to_install(tables, tmp_path, monkeypatch):
    real = builtins.__import__

    def refusing(name, *rest):
        if name.partition(".")[0] == "pyarrow":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", refusing)
    with pytest.raises(NotFoundError, match=r"deliverylab\[parquet\]"):
        write_frame(tables["events"], tmp_path / "t.parquet")
    assert not (tmp_path / "t.parquet").exists()


def test_what_cannot_be_is_refused(tables, tmp_path):
    with pytest.raises(UsageError, match="says its format"):
        format_of("table.xls")
    with pytest.raises(NotFoundError):
        read_frame(tmp_path / "nothing.csv")
    for ending, text in ((".json", "no table"), (".json", "[]"), (".parquet", "no table")):
        (tmp_path / f"no{ending}").write_text(text)
        with pytest.raises(InputValueError):
            read_frame(tmp_path / f"no{ending}")
        with pytest.raises(OutputError):
            write_frame(tables["events"], tmp_path / "missing" / f"t{ending}")
