from __future__ import annotations

import msgspec
import pypdfium2
import pytest

from deliverylab.core.errors import InputValueError, OutputError
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report.sheet_content import sheet_content
from deliverylab.core.report.technical_sheet import sheet_bytes, write_technical_sheet
from tests.core.report.conftest import LONG, TextBox
from tests.core.report.laid_out import assert_laid_out

NAMES = {
    "plain": "Noor V.",
    "long": LONG,
    "one word": "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft",
    "right to left": "שרה בן-דוד",
    "far east": "田中 太郎",
}


def pages_of(pdf):
    """Return the text boxes and the text of each page."""
    found = []
    document = pypdfium2.PdfDocument(pdf)
    for page in document:
        text = page.get_textpage()
        boxes = [
            TextBox(*text.get_rect(n), text.get_text_bounded(*text.get_rect(n)))
            for n in range(text.count_rects())
        ]
        found.append((boxes, " ".join(text.get_text_range().split())))
        text.close()
        page.close()
    document.close()
    return found


@pytest.fixture(scope="module")
def content_of(athlete, model):
    def build(names="plain", partner="means", system="metric"):
        a, b = (
            msgspec.structs.replace(
                each, athlete=msgspec.structs.replace(each.athlete, name=NAMES[names] + sign)
            )
            for each, sign in ((athlete, ""), (model, "2"))
        )
        record = ProjectRecord(deliveries=(a, b), unit_system=system, organisation=NAMES[names])
        return sheet_content(record, a.name, partner)

    return build


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    ("names", "partner", "system"),
    [
        ("plain", "means", "metric"),
        ("long", "means", "imperial"),
        ("one word", "published college", "metric"),
        ("right to left", "published youth", "imperial"),
        ("far east", "means", "metric"),
    ],
)
def test_nothing_overlaps_or_leaves_the_margins(content_of, names, partner, system, paper):
    pages = pages_of(sheet_bytes(content_of(names, partner, system), paper))
    assert len(pages) > 3
    for number, (boxes, said) in enumerate(pages, start=1):
        # beside letters that run right to left words come back in another order
        assert {"Technical", "sheet", "page", "of", f"{number}", f"{len(pages)}"} <= set(
            said.split()
        )
        assert_laid_out(boxes, paper)


def test_every_result_is_on_it_whole(content_of):
    content = content_of()
    said = " ".join(said for _, said in pages_of(sheet_bytes(content)))
    for entry in content.entries:
        assert entry.mine.name in said
        assert entry.mine.definition.split(";")[0][:40] in said
    for text in (*content.measured, *content.cautions):
        assert text in said
    assert "…" not in said


def test_the_same_content_gives_the_same_bytes(content_of):
    content = content_of()
    assert sheet_bytes(content) == sheet_bytes(content)


def test_what_cannot_be_done_is_said(content_of, tmp_path):
    with pytest.raises(InputValueError, match="unknown paper"):
        sheet_bytes(content_of(), "a5")
    with pytest.raises(OutputError, match="cannot be written"):
        write_technical_sheet(content_of(), tmp_path / "no" / "sheet.pdf")
    path = write_technical_sheet(content_of(), tmp_path / "sheet.pdf", "letter")
    assert path.read_bytes().startswith(b"%PDF")
