from __future__ import annotations

import re
import time

import msgspec
import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.errors import InputValueError, OutputError
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report.content import compose, page_content
from deliverylab.core.report.courses import chosen_chart
from deliverylab.core.report.page import doubtful_characters, page_bytes, write_page
from deliverylab.core.report.raster import page_sizes_mm, render_png, write_png
from tests.core.report.laid_out import assert_laid_out

LONG = "Maximiliana-Ekaterina van der Westhuizen-Przybyłowska de la Fuente y Montenegro III"
SCHOOL = "The Very Long-Named Alder Creek Academy for Throwing Arts and Sciences of the North"


def _named(delivery, name):
    return msgspec.structs.replace(
        delivery, athlete=msgspec.structs.replace(delivery.athlete, name=name)
    )


@pytest.fixture
def make_content(athlete, model, make_differences, frame_source):
    """Compose pages of every kind."""
    chart = chosen_chart(athlete, model, [], "metric")

    def build(
        n_clear=5,
        n_alike=6,
        n_hidden=8,
        *,
        name="Noor V.",
        partner="College means",
        organisation="Alder Creek Throwing School",
        has_chart=True,
        has_clips=True,
        has_landmarks=True,
        system="metric",
    ):
        a, b = _named(athlete, name), _named(model, partner)
        if not has_landmarks:
            a, b = (
                msgspec.structs.replace(
                    d, cameras=(msgspec.structs.replace(d.cameras[0], tracks={}),)
                )
                for d in (a, b)
            )
        return compose(
            one_party(a),
            one_party(b),
            make_differences(n_clear, n_alike, n_hidden),
            chart=chart if has_chart else None,
            frame_source=frame_source if has_clips else None,
            organisation=organisation,
            system=system,
        )

    return build


def _assert_laid_out(pdf, paper, boxes):
    """Check that it is one page, laid out as it must be."""
    assert len(page_sizes_mm(pdf)) == 1
    assert_laid_out(boxes, paper)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("n_clear", [0, 1, 5, 7, 8, 15, 30])
def test_any_number_of_differences_fits(make_content, text_boxes, paper, n_clear):
    pdf = page_bytes(make_content(n_clear, n_alike=n_clear, n_hidden=n_clear), paper)
    _assert_laid_out(pdf, paper, text_boxes(pdf))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize(
    "names",
    [
        (LONG, LONG, SCHOOL),
        ("N", "M", ""),
        ("W" * 120, "x" * 300, "M" * 200),
        ("Dvořák Őrsi", "田中 太郎", "ليلى أحمد"),
    ],
)
def test_any_names_fit(make_content, text_boxes, paper, system, names):
    name, partner, organisation = names
    content = make_content(
        9, 20, 20, name=name, partner=partner, organisation=organisation, system=system
    )
    pdf = page_bytes(content, paper)
    _assert_laid_out(pdf, paper, text_boxes(pdf))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("has_chart", [True, False])
@pytest.mark.parametrize("has_clips", [True, False])
@pytest.mark.parametrize("has_landmarks", [True, False])
@pytest.mark.parametrize("n_clear", [0, 6])
def test_whatever_is_missing_the_rest_fits(
    make_content, text_boxes, paper, has_chart, has_clips, has_landmarks, n_clear
):
    content = make_content(
        n_clear,
        n_clear,
        n_clear,
        has_chart=has_chart,
        has_clips=has_clips,
        has_landmarks=has_landmarks,
    )
    pdf = page_bytes(content, paper)
    _assert_laid_out(pdf, paper, text_boxes(pdf))


def test_text_never_stands_on_a_picture(make_content, text_boxes):
    pdf = page_bytes(make_content())
    document = pypdfium2.PdfDocument(pdf)
    page = document[0]
    pictures = [item.get_bounds() for item in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE])]
    assert len(pictures) == 8
    for left, bottom, right, top in pictures:
        for box in text_boxes(pdf):
            apart = (
                box.right <= left + 1
                or box.left >= right - 1
                or box.top <= bottom + 1
                or box.bottom >= top - 1
            )
            assert apart, box
    page.close()
    document.close()


def test_the_cautions_are_always_whole(make_content, page_text):
    for n in (0, 30):
        content = make_content(n, n, n, name=LONG, partner=LONG, organisation=SCHOOL)
        assert " ".join(content.cautions) in page_text(page_bytes(content, "letter"))


def test_the_same_content_gives_the_same_bytes(make_content):
    assert page_bytes(make_content()) == page_bytes(make_content())


def test_fonts_are_embedded_and_nothing_is_left_to_chance(make_content):
    pdf = page_bytes(make_content())
    fonts = re.findall(rb"/BaseFont /(\S+)", pdf)
    assert fonts
    # a subset of an embedded font carries six letters and a plus
    assert all(re.match(rb"[A-Z]{6}\+", name) for name in fonts)
    assert pdf.count(b"/FontFile2") == len(fonts) == 2


def test_signs_are_read_back(make_content, page_text):
    said = page_text(page_bytes(make_content(name="Renée Łukasz Núñez", n_clear=2)))
    for sign in ("±", "°", "’", "Renée Łukasz Núñez", "−"):
        assert sign in said


def test_metadata_names_the_page_and_no_place(make_content, tmp_path):
    path = write_page(make_content(), tmp_path / "page.pdf")
    document = pypdfium2.PdfDocument(path)
    facts = document.get_metadata_dict()
    document.close()
    assert facts["Title"].startswith("Noor V.")
    assert facts["Author"] == "Alder Creek Throwing School"
    data = path.read_bytes()
    assert str(tmp_path).encode() not in data
    assert b"/home/" not in data


def test_a_picture_of_the_page_is_made(make_content, tmp_path):
    path = write_page(make_content(), tmp_path / "page.pdf", "letter")
    png = write_png(path, tmp_path / "page.png", dpi=72.0)
    assert png.stat().st_size > 10_000
    picture = render_png(path, dpi=72.0)
    assert picture.shape == (792, 612, 3)
    assert picture[:30].min() == 255


def test_doubtful_letters_are_told(make_content):
    assert doubtful_characters(make_content(name="Noor V.\ufe0f\u200b")) == ""
    # the last code point that was ever assigned no letter: no font has it
    assert doubtful_characters(make_content(name="Noor \U0001fffd")) == "\U0001fffd"


def test_a_page_takes_less_than_two_seconds(athlete, model, frame_source):
    record = ProjectRecord(deliveries=(athlete, model))
    start = time.perf_counter()
    page_bytes(page_content(record, athlete.name, model.name, frame_source=frame_source))
    assert time.perf_counter() - start < 2.0


def test_what_cannot_be_done_is_said(make_content, tmp_path):
    with pytest.raises(InputValueError, match="unknown paper"):
        page_bytes(make_content(), "a5")
    with pytest.raises(OutputError, match="cannot be written"):
        write_page(make_content(), tmp_path / "no" / "page.pdf")


@pytest.mark.parametrize("n_clear", [3, 7, 12, 30])
def test_every_clear_difference_is_a_row_or_counted(make_content, page_text, n_clear):
    said = page_text(page_bytes(make_content(n_clear, 4, 4)))
    n_rows = len(re.findall(r"by 12\b", said))
    assert n_rows >= min(n_clear, 5)
    rest = re.search(r"Also clear: (.*?)\.", said)
    if rest is None:
        assert n_rows == n_clear
        return
    named, _, more = rest[1].removesuffix(" on the technical sheet").rpartition(" and ")
    counted = int(more.split()[0]) if more.endswith("more") else 1
    assert n_rows + len([name for name in named.split(", ") if name]) + counted == n_clear
