from __future__ import annotations

import pypdfium2
import pytest

import deliverylab


def _said(path):
    document = pypdfium2.PdfDocument(path)
    assert len(document) == 1
    text = document[0].get_textpage().get_text_range()
    document.close()
    return " ".join(text.split())


def test_a_sheet_is_written_and_named(run, tmp_path):
    target = tmp_path / "sheet.pdf"
    status, out, err = run("field-sheet", "--out", target)
    assert (status, err) == (0, "")
    assert out == f"written: {target}\n"
    said = _said(target)
    assert "baseball, 60 ft 6 in · right-hander" in said
    assert "2.00 m" in said


def test_options_reach_the_sheet(run, tmp_path):
    target, picture = tmp_path / "sheet.pdf", tmp_path / "sheet.png"
    status, _, err = run(
        *("field-sheet", "--out", target, "--png", picture, "--hand", "left"),
        *("--field", "softball-43", "--units", "imperial", "--paper", "letter"),
        *("--distance", "36 ft", "--rear-distance", "6"),
    )
    assert (status, err) == (0, "")
    assert picture.read_bytes().startswith(b"\x89PNG")
    said = _said(target)
    assert "softball, 43 ft · left-hander" in said
    assert "side 2×, rear 1×" in said
    assert "about 36 ft from it" in said
    document = pypdfium2.PdfDocument(target)
    assert document.get_page_size(0) == pytest.approx((612.0, 792.0))
    document.close()


def test_one_distance_is_that_of_both_phones(run, tmp_path):
    target = tmp_path / "sheet.pdf"
    assert run("field-sheet", "--out", target, "--distance", "11")[0] == 0
    said = _said(target)
    assert "about 11 m from it" in said
    assert "about 10.2 m behind" in said


@pytest.mark.parametrize(
    ("options", "expected", "words"),
    [
        (("--distance", "2"), 7, "side phone, 2 m"),
        (("--rear-distance", "40"), 7, "rear phone, 40 m"),
        (("--field", "cricket"), 2, "invalid choice"),
        (("--paper", "a5"), 2, "invalid choice"),
    ],
)
def test_what_cannot_be_is_one_line_and_no_file(run, tmp_path, options, expected, words):
    target = tmp_path / "sheet.pdf"
    status, out, err = run("field-sheet", "--out", target, *options)
    assert (status, out) == (expected, "")
    assert words in err
    assert len(err.splitlines()) == 1
    assert not target.exists()


def test_nothing_is_written_over_a_project_or_where_no_folder_is(run, tmp_path):
    status, _, err = run("field-sheet", "--out", tmp_path / "may.delivery")
    assert status == 2
    assert "write over" in err
    status, _, err = run("field-sheet", "--out", tmp_path / "no" / "sheet.pdf")
    assert status != 0
    assert "cannot be written" in err


def test_the_python_interface_writes_the_same_sheet(run, tmp_path):
    by_command, by_call = tmp_path / "a.pdf", tmp_path / "b.pdf"
    run("field-sheet", "--out", by_command, "--hand", "left", "--units", "imperial")
    assert deliverylab.field_sheet(by_call, hand="left", units="imperial") == by_call
    assert by_call.read_bytes() == by_command.read_bytes()
