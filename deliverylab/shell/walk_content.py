"""What the walkthrough's panel says: its stops, their numbers, sizes and speeds of the clip."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from deliverylab.core.model.changes import replace
from deliverylab.core.model.walkthrough import Stop
from deliverylab.core.report.walkthrough_words import number_lines
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.session import Session

SIZES: tuple[tuple[str, tuple[int, int]], ...] = (
    ("Side by side, 1920 × 1080", (1920, 1080)),
    ("Side by side, 1280 × 720", (1280, 720)),
    ("For a phone, 1080 × 1920", (1080, 1920)),
)
PREVIEW_SHORT_PX = 720
"""Shorter side of the picture that shows what the clip will look like."""
SPEEDS: tuple[tuple[str, float], ...] = (
    ("Real time", 1.0),
    ("Half of it", 0.5),
    ("A quarter", 0.25),
    ("An eighth", 0.125),
    ("A sixteenth", 0.0625),
)
RATE_HZ = 30


class StopRow(NamedTuple):
    """A stop in the list: what it is called, how long it lasts, what it says, what is drawn."""

    name: str
    pause: str
    caption: str
    n_drawings: int


class NumberChoice(NamedTuple):
    """A number that may stand at a stop."""

    key: tuple[str, str]
    text: str
    is_chosen: bool


def stop_name(stop: Stop) -> str:
    """Return what a stop is called: its event, or the phase."""
    if stop.phase is not None:
        return f"At {stop.phase:.0f} %"
    event = EVENTS.get(stop.event)
    name = event.name if event is not None else stop.event
    return f"{name[:1].upper()}{name[1:]}"


def stop_rows(stops: Sequence[Stop]) -> tuple[StopRow, ...]:
    """Return the list of stops."""
    return tuple(
        StopRow(stop_name(one), f"{one.pause_s:g} s", one.caption, len(one.drawings))
        for one in stops
    )


def number_choices(session: Session, index: int) -> tuple[NumberChoice, ...]:
    """Return the numbers that may stand at a stop: clear ones, and those that are chosen."""
    stop, chosen = session.script().stops[index], session.stop_numbers(index)
    found = session.differences()
    clear = (one for one in session.stop_differences(index) if one.verdict == "clear")
    keys = dict.fromkeys([*((one.metric, one.event) for one in clear), *chosen])
    choices = []
    for key in keys:
        # in the words of the clip
        lines = number_lines(replace(stop, metrics=(key,)), found, session.unit_system)
        text = "".join(f"{line.name}: {line.words}" for line in lines)
        choices.append(NumberChoice(key, text, key in chosen))
    return tuple(choices)


def preview_size(size: tuple[int, int]) -> tuple[int, int]:
    """Return the size in which a clip's picture is shown before it is made, of the same shape."""
    share = PREVIEW_SHORT_PX / min(size)
    width, height = (2 * round(0.5 * side * share) for side in size)
    return width, height


def length_text(n_pictures: int) -> str:
    """Return how long the clip lasts."""
    seconds = round(n_pictures / RATE_HZ)
    if seconds < 60:
        return f"{seconds} s"
    return f"{seconds // 60} min {seconds % 60} s"
