"""What an action is: the columns of the table of actions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Group = Literal[
    "File", "Edit", "Frame", "Events", "Landmarks", "Compare", "Hand over", "Look", "Help"
]
GROUPS: tuple[Group, ...] = get_args(Group)


@dataclass(frozen=True, kw_only=True)
class ActionSpec:
    """One action.

    Attributes
    ----------
    key : str
        Stable key.
    text : str
        What the menu says.
    group : str
        Menu it stands in.
    intent : str
        ``session.<method>`` or ``window.<method>`` that carries it out.
    argument : object
        Passed to the intent, unless None.
    shortcut : str
        Keys, in Qt's notation; a second one behind ``|``.
    short : str
        What a button says where there is room; nothing when empty: its icon does.
    icon : str
        File name of its icon without ``.svg``, or empty.
    needs : str
        What must be there: a ``delivery``, a ``partner`` with a clip, a ``comparison`` with
        whomever, published means too, or nothing.
    is_checkable : bool
        Whether it stays pressed; the intent then gets the state.
    is_behind_line : bool
        Whether a line stands above it in the menu.
    """

    key: str
    text: str
    group: Group
    intent: str
    argument: object = None
    shortcut: str = ""
    short: str = ""
    icon: str = ""
    needs: Literal["", "delivery", "partner", "comparison"] = ""
    is_checkable: bool = False
    is_behind_line: bool = False
