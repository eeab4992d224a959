"""Table of the keys and gestures that belong to one part of the window, not to a menu.

The parts take what their keys do from here, and the list of keys that a person reads is made from
the same rows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence

Place = Literal["stage", "scrub bar", "coordinates", "figure in space"]


@dataclass(frozen=True, kw_only=True)
class KeySpec:
    """One key or gesture.

    Attributes
    ----------
    place : {"stage", "scrub bar", "coordinates", "figure in space"}
        Where it holds.
    text : str
        What it does, for a person.
    keys : str
        Keys without modifiers in Qt's notation, several behind ``|``; empty for a gesture.
    act : str
        What the part does; empty where it is a matter of the pointer.
    said : str
        How it is written in the list where the keys alone do not tell: gestures, modifiers.
    """

    place: Place
    text: str
    keys: str = ""
    act: str = ""
    said: str = ""


KEYS: tuple[KeySpec, ...] = (
    KeySpec(place="stage", said="click", text="place the landmark that is asked for"),
    KeySpec(
        place="stage",
        keys="Return|Enter",
        act="place",
        text="place it where the pointer is, or at the guess",
    ),
    KeySpec(
        place="stage",
        said="Ctrl and click",
        text="place it also where another point lies under the pointer",
    ),
    KeySpec(place="stage", said="drag", text="move a landmark or a point of the scale"),
    KeySpec(place="stage", said="Shift and drag", text="move it a tenth as far"),
    KeySpec(place="stage", said="hold L", keys="L", act="hold", text="keep the loupe open"),
    KeySpec(
        place="stage",
        said="arrow keys",
        keys="Left|Right|Up|Down",
        act="nudge",
        text="move the guess in hand, else the current landmark, by 1 px",
    ),
    KeySpec(place="stage", said="Shift and arrow keys", text="move it by 10 px"),
    KeySpec(place="stage", said="Ctrl or Alt and arrow keys", text="move it by 0.1 px"),
    KeySpec(
        place="stage",
        said="Left, Right",
        text="without a current landmark: a frame back or on, with Shift ten",
    ),
    KeySpec(
        place="stage",
        said="Up, Down",
        text="without a current landmark: the event before or after",
    ),
    KeySpec(place="stage", keys="S", act="skip", text="skip the landmark that is asked for"),
    KeySpec(place="stage", keys="H", act="hide", text="it cannot be seen in this frame"),
    KeySpec(
        place="stage",
        keys="Del|Backspace",
        act="remove",
        text="remove the current landmark; while points are picked, the last of them",
    ),
    KeySpec(
        place="stage",
        keys="Esc",
        act="leave",
        text="stop picking; let the guess or landmark go; stay here",
    ),
    KeySpec(
        place="stage",
        said="drag, while the walkthrough is drawn on",
        text="an arrow, a line, a circle or a freehand line; an angle is three clicks",
    ),
    KeySpec(place="stage", keys="+|=", act="closer", text="closer"),
    KeySpec(place="stage", keys="-", act="farther", text="farther"),
    KeySpec(place="stage", keys="0", act="fit", text="the body, then the whole picture"),
    KeySpec(place="stage", said="wheel", text="closer or farther, about the pointer"),
    KeySpec(place="stage", said="Shift and wheel", text="frame by frame"),
    KeySpec(
        place="stage",
        said="middle button, or Space and drag",
        keys="Space",
        act="hold",
        text="move the picture",
    ),
    KeySpec(place="stage", said="Space", text="play or stop, with a tap"),
    KeySpec(place="stage", keys=",", act="back", text="a frame back"),
    KeySpec(place="stage", keys=".", act="on", text="a frame on"),
    KeySpec(place="scrub bar", keys="Left", act="back", text="a frame back, with Shift ten"),
    KeySpec(place="scrub bar", keys="Right", act="on", text="a frame on, with Shift ten"),
    KeySpec(place="scrub bar", keys="PgUp", act="ten back", text="ten frames back"),
    KeySpec(place="scrub bar", keys="PgDown", act="ten on", text="ten frames on"),
    KeySpec(place="scrub bar", keys="Up", act="event before", text="the event before"),
    KeySpec(place="scrub bar", keys="Down", act="event after", text="the event after"),
    KeySpec(place="scrub bar", keys="Home", act="first frame", text="where the clip starts"),
    KeySpec(place="scrub bar", keys="End", act="last frame", text="where the clip ends"),
    KeySpec(
        place="scrub bar",
        keys="Del",
        act="remove mark",
        text="remove the event's mark at the shown frame",
    ),
    KeySpec(place="scrub bar", said="drag", text="go through the frames"),
    KeySpec(place="scrub bar", said="drag an event's name", text="move its mark"),
    KeySpec(
        place="scrub bar",
        said="click a dashed event",
        text="it is suggested there: mark it, and show its frame",
    ),
    KeySpec(place="scrub bar", said="drag a row's end", text="trim the clip"),
    KeySpec(place="scrub bar", said="wheel", text="frame by frame, with Shift ten"),
    KeySpec(place="scrub bar", said="Ctrl and wheel", text="stretch the axis about the pointer"),
    KeySpec(
        place="scrub bar",
        said="double click",
        text="all that is used, or the whole clip; above the rows: mark an event there",
    ),
    KeySpec(
        place="coordinates",
        said="click",
        text="show the frame of the nearest position, with its landmark chosen",
    ),
    KeySpec(place="coordinates", keys="Left", act="back", text="a frame back, with Shift ten"),
    KeySpec(place="coordinates", keys="Right", act="on", text="a frame on, with Shift ten"),
    KeySpec(place="coordinates", said="wheel", text="stretch the axis about the pointer"),
    KeySpec(place="coordinates", said="double click", text="all that is used, or the whole clip"),
    KeySpec(place="figure in space", said="drag", text="turn it"),
    KeySpec(place="figure in space", said="wheel", text="closer or farther"),
    KeySpec(
        place="figure in space",
        said="arrow keys",
        keys="Left|Right|Up|Down",
        act="turn",
        text="turn it, with Shift a little",
    ),
    KeySpec(place="figure in space", keys="A", act="above", text="from above"),
    KeySpec(place="figure in space", keys="S", act="side", text="from the side"),
    KeySpec(place="figure in space", keys="B", act="behind", text="from behind"),
    KeySpec(place="figure in space", keys="P", act="plate", text="from the plate"),
    KeySpec(place="figure in space", keys="T", act="trails", text="trails, or none"),
    KeySpec(place="figure in space", keys="+|=", act="closer", text="closer"),
    KeySpec(place="figure in space", keys="-", act="farther", text="farther"),
    KeySpec(place="figure in space", keys="0", act="fit", text="all of the delivery"),
)


def acts(place: Place) -> dict[Qt.Key, str]:
    """Return what each key does in a part of the window."""
    return {
        QKeySequence(part)[0].key(): spec.act  # type: ignore[index]
        for spec in KEYS
        if spec.place == place
        for part in spec.keys.split("|")
        if part
    }
