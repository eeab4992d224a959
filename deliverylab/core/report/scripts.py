"""Writing systems: what a line of text must become before a PDF, which knows none, draws it.

Right-to-left letters are put into the order in which they stand on paper, and Arabic letters are
joined.  This is enough for names; it is not the full bidirectional algorithm (no nesting, no
mirrored brackets).

References
----------
.. [1] Unicode Standard Annex 9 (bidirectional classes), and chapter 9.2 (Arabic joining forms).
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from itertools import groupby

_RIGHT_TO_LEFT = {"R", "AL"}
_VARIATION_SELECTORS = re.compile("[\ufe00-\ufe0f\U000e0100-\U000e01ef]")
_FORMS = ("isolated", "final", "initial", "medial")


def cleaned(text: str) -> str:
    """Return the text composed, without control characters, its white space single."""
    composed = _VARIATION_SELECTORS.sub("", unicodedata.normalize("NFC", text))
    kept = (
        " " if character.isspace() and character != "\u00a0" else character
        for character in composed
        if character.isspace() or unicodedata.category(character) not in {"Cc", "Cf", "Cs", "Co"}
    )
    return " ".join(part for part in "".join(kept).split(" ") if part)


def reads_from_right(text: str) -> bool:
    """Return whether a text is read from the right: its first letter with a direction says so."""
    kinds = (unicodedata.bidirectional(character) for character in text)
    return next((kind for kind in kinds if kind in {"L", *_RIGHT_TO_LEFT}), "L") != "L"


def visual(text: str) -> str:
    """Return a text's characters in the order in which they stand on paper, left to right."""
    if not any(unicodedata.bidirectional(character) in _RIGHT_TO_LEFT for character in text):
        return text
    starts_right = reads_from_right(text)
    pieces = [
        (is_right, "".join(character for character, _ in group))
        for is_right, group in groupby(
            zip(text, _directions(text, starts_right=starts_right), strict=True),
            key=lambda pair: pair[1],
        )
    ]
    drawn = [_joined(piece)[::-1] if is_right else piece for is_right, piece in pieces]
    return "".join(reversed(drawn) if starts_right else drawn)


def _directions(text: str, *, starts_right: bool) -> list[bool]:
    """Return for each character whether it runs right to left.

    Spaces and signs go with their neighbours where these agree, else with the line.
    """
    strong: list[bool | None] = []
    for character in text:
        kind = unicodedata.bidirectional(character)
        if kind in _RIGHT_TO_LEFT or (kind == "NSM" and strong and strong[-1]):
            strong.append(True)
        else:
            strong.append(False if kind in {"L", "EN", "AN"} else None)
    resolved: list[bool] = []
    for place, direction in enumerate(strong):
        if direction is not None:
            resolved.append(direction)
            continue
        before = next((d for d in reversed(strong[:place]) if d is not None), starts_right)
        after = next((d for d in strong[place:] if d is not None), starts_right)
        resolved.append(before if before == after else starts_right)
    return resolved


@lru_cache(maxsize=1)
def _joining() -> dict[str, dict[str, str]]:
    """Return the joined shapes of each Arabic letter: letter → form → shape."""
    shapes: dict[str, dict[str, str]] = {}
    for code in (*range(0xFB50, 0xFBFF), *range(0xFE80, 0xFEF5)):
        form, _, letter = unicodedata.decomposition(chr(code)).partition(" ")
        if form.strip("<>") in _FORMS and " " not in letter and letter:
            shapes.setdefault(chr(int(letter, 16)), {})[form.strip("<>")] = chr(code)
    return shapes


def _joined(text: str) -> str:
    """Return Arabic letters in the shapes that their neighbours ask for; others unchanged."""
    shapes = _joining()
    drawn = []
    for place, letter in enumerate(text):
        mine = shapes.get(letter)
        if mine is None:
            drawn.append(letter)
            continue
        before = shapes.get(text[place - 1], {}) if place else {}
        after = shapes.get(text[place + 1], {}) if place + 1 < len(text) else {}
        # joins to the one before where that can reach forward, and to the one after where both can
        joins_before = "initial" in before and "final" in mine
        joins_after = "initial" in mine and "final" in after
        form = ("isolated", "initial", "final", "medial")[2 * joins_before + joins_after]
        drawn.append(mine.get(form, letter))
    return "".join(drawn)
