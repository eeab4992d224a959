"""Typefaces of the page: embedded, measured before drawn, with a way out for every script.

The page is set in the TrueType family that reportlab carries.  It covers western Latin text; what
it lacks is taken, character by character, from the first font of this machine that has it (and
embedded as well).  Where none has it, Korean syllables are spelled in Latin letters, Chinese and
Japanese are left to the standard typefaces of PDF readers, and other letters lose their accents.
What remains is shown as ``?``.  `doubtful` names what a reader may not see.
"""

from __future__ import annotations

import sys
import unicodedata
from functools import lru_cache
from itertools import groupby
from pathlib import Path
from typing import Any, Literal, NamedTuple

import reportlab
from reportlab.lib.colors import Color
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.cidfonts import UnicodeCIDFont
from reportlab.pdfbase.ttfonts import TTFError, TTFont

from deliverylab.core.report.scripts import cleaned, visual

Weight = Literal["regular", "bold"]
Align = Literal["left", "right", "centre"]

_CARRIED: dict[Weight, tuple[str, str]] = {
    "regular": ("PageSans", "Vera.ttf"),
    "bold": ("PageSans-Bold", "VeraBd.ttf"),
}
_FOLDERS = {
    "linux": ("/usr/share/fonts", "/usr/local/share/fonts"),
    "darwin": ("/System/Library/Fonts", "/System/Library/Fonts/Supplemental", "/Library/Fonts"),
    "win32": ("C:/Windows/Fonts",),
}
# The first is the carried family with more scripts; the others are what systems come with.
_INSTALLED: dict[Weight, tuple[str, ...]] = {
    "regular": (
        "truetype/dejavu/DejaVuSans.ttf",
        "dejavu/DejaVuSans.ttf",
        "dejavu-sans-fonts/DejaVuSans.ttf",
        "TTF/DejaVuSans.ttf",
        "Verdana.ttf",
        "verdana.ttf",
        "Arial Unicode.ttf",
        "arial.ttf",
        "msyh.ttc",
        "malgun.ttf",
        "truetype/nanum/NanumGothic.ttf",
        "truetype/wqy/wqy-microhei.ttc",
        "truetype/droid/DroidSansFallbackFull.ttf",
    ),
    "bold": (
        "truetype/dejavu/DejaVuSans-Bold.ttf",
        "dejavu/DejaVuSans-Bold.ttf",
        "dejavu-sans-fonts/DejaVuSans-Bold.ttf",
        "TTF/DejaVuSans-Bold.ttf",
        "Verdana Bold.ttf",
        "verdanab.ttf",
        "arialbd.ttf",
        "msyhbd.ttc",
        "malgunbd.ttf",
    ),
}
_ASIAN = "HeiseiKakuGo-W5"
_ASIAN_NAMES = ("CJK ", "HIRAGANA", "KATAKANA", "FULLWIDTH", "IDEOGRAPHIC")
UNPRINTABLE = "?"
ELLIPSIS = "…"
ASCENT, DESCENT = 0.76, 0.24
"""Of the carried family, as shares of the size: what a line of text takes above and below."""


class Run(NamedTuple):
    """A stretch of text in one font."""

    font: str
    text: str


class Style(NamedTuple):
    """How a text is set: size in points, weight, colour."""

    size: float
    colour: Color
    weight: Weight = "regular"

    def sized(self, size: float) -> Style:
        """Return the same style in another size."""
        return self._replace(size=size)


@lru_cache(maxsize=8)
def carried(weight: Weight) -> str:
    """Register the family that reportlab carries and return its name."""
    name, file = _CARRIED[weight]
    pdfmetrics.registerFont(TTFont(name, str(Path(reportlab.__file__).parent / "fonts" / file)))
    return name


@lru_cache(maxsize=4)
def _installed(weight: Weight) -> tuple[str, ...]:
    """Register the fallback fonts that this machine has, and return their names."""
    names = []
    for folder in _FOLDERS.get(sys.platform, ()):
        for file in _INSTALLED[weight]:
            path = Path(folder) / file
            name = f"{path.stem.replace(' ', '')}-fallback"
            if name in names or not path.is_file():
                continue
            try:
                pdfmetrics.registerFont(TTFont(name, str(path)))
            except (TTFError, OSError):
                continue  # damaged, or of a kind that cannot be embedded
            names.append(name)
    return tuple(names)


@lru_cache(maxsize=4)
def _reader_font(name: str) -> str:
    pdfmetrics.registerFont(UnicodeCIDFont(name))
    return name


def _has(font: str, character: str) -> bool:
    return ord(character) in pdfmetrics.getFont(font).face.charToGlyph


@lru_cache(maxsize=4096)
def _glyph(character: str, weight: Weight) -> Run:
    """Return a character's font, and the character or what stands in for it."""
    base = carried(weight)
    if _has(base, character):
        return Run(base, character)
    fonts = _installed(weight)
    if weight == "bold":
        fonts += _installed("regular")
    for font in fonts:
        if _has(font, character):
            return Run(font, character)
    name = unicodedata.name(character, "")
    if name.startswith("HANGUL SYLLABLE "):
        return Run(base, name.removeprefix("HANGUL SYLLABLE ").capitalize())
    if name.startswith(_ASIAN_NAMES):
        return Run(_reader_font(_ASIAN), character)
    plain = unicodedata.normalize("NFKD", character)[0]
    if plain != character and _has(base, plain):
        return Run(base, plain)
    return Run(base, UNPRINTABLE)


def runs(text: str, weight: Weight = "regular") -> tuple[Run, ...]:
    """Return a text as stretches of one font each, in the order in which they are drawn."""
    glyphs = (_glyph(character, weight) for character in visual(cleaned(text)))
    return tuple(
        Run(font, "".join(run.text for run in group))
        for font, group in groupby(glyphs, key=lambda run: run.font)
    )


def doubtful(text: str) -> str:
    """Return the characters that a reader may not see as they are; empty when all is well.

    They are shown in other letters, as ``?``, or in a typeface that is not embedded and that a
    reader need not have.
    """
    glyphs = {character: _glyph(character, "regular") for character in visual(cleaned(text))}
    return "".join(
        sorted(
            character
            for character, glyph in glyphs.items()
            if glyph.text != character or glyph.font == _ASIAN
        )
    )


def text_width(text: str, style: Style) -> float:
    """Return how wide a text is, points."""
    return _width_at_one_point(text, style.weight) * style.size


@lru_cache(maxsize=16384)
def _width_at_one_point(text: str, weight: Weight) -> float:
    return sum(float(pdfmetrics.stringWidth(run.text, run.font, 1.0)) for run in runs(text, weight))


def clipped(text: str, style: Style, width: float) -> str:
    """Return the text, cut with an ellipsis where it is wider than `width`."""
    text = cleaned(text)
    if text_width(text, style) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle].rstrip() + ELLIPSIS, style) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip(" ,;·(–") + ELLIPSIS if low else ""


def fitted(text: str, style: Style, width: float, smallest: float) -> tuple[str, Style]:
    """Return text and style that fit into `width`: first smaller, then cut."""
    needed = text_width(text, style)
    if needed <= width:
        return cleaned(text), style
    smaller = style.sized(max(smallest, style.size * width / needed * 0.999))
    return clipped(text, smaller, width), smaller


def wrapped(text: str, style: Style, width: float, n_lines: int | None = None) -> tuple[str, ...]:
    """Return the text in lines no wider than `width`; the last is cut where more is left."""
    lines: list[str] = []
    line = ""
    for word in cleaned(text).split(" "):
        longer = f"{line} {word}" if line else word
        if text_width(longer, style) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        rest = word
        while text_width(rest, style) > width and len(rest) > 1:
            head = _head(rest, style, width)
            lines.append(head)
            rest = rest[len(head) :]
        line = rest
    if line:
        lines.append(line)
    if n_lines is None or len(lines) <= n_lines:
        return tuple(lines)
    if n_lines <= 0:
        return ()
    last = clipped(" ".join(lines[n_lines - 1 :]), style, width)
    return (*lines[: n_lines - 1], last)


def _head(word: str, style: Style, width: float) -> str:
    """Return as much of a word as fits; at least one character."""
    n = 1
    while n < len(word) and text_width(word[: n + 1], style) <= width:
        n += 1
    return word[:n]


def draw_text(
    canvas: Any,
    x: float,
    y: float,
    text: str,
    style: Style,
    *,
    align: Align = "left",
) -> float:
    """Draw one line with its baseline at `y`, and return its width."""
    width = text_width(text, style)
    x -= {"left": 0.0, "right": width, "centre": width / 2.0}[align]
    canvas.setFillColor(style.colour)
    line = canvas.beginText(x, y)
    for run in runs(text, style.weight):
        line.setFont(run.font, style.size)
        line.textOut(run.text)
    canvas.drawText(line)
    return width
