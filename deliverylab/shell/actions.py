"""Table of everything that a key, a menu or a button can ask for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from deliverylab.core.vocabulary.events import EVENTS

Group = Literal["File", "Edit", "Frame", "Events", "Landmarks", "Compare", "Look", "Help"]
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
    icon : str
        File name of its icon without ``.svg``, or empty.
    needs : str
        What must be there: a ``delivery``, a ``partner``, or nothing.
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
    icon: str = ""
    needs: Literal["", "delivery", "partner"] = ""
    is_checkable: bool = False
    is_behind_line: bool = False


_FILE = (
    ActionSpec(
        key="new",
        text="New project",
        group="File",
        intent="window.new_project",
        shortcut="Ctrl+N",
        icon="new",
    ),
    ActionSpec(
        key="open",
        text="Open project …",
        group="File",
        intent="window.ask_project",
        shortcut="Ctrl+O",
        icon="open",
    ),
    ActionSpec(
        key="save",
        text="Save",
        group="File",
        intent="window.save",
        shortcut="Ctrl+S",
        icon="save",
        is_behind_line=True,
    ),
    ActionSpec(
        key="save_as",
        text="Save as …",
        group="File",
        intent="window.save_as",
        shortcut="Ctrl+Shift+S",
    ),
    ActionSpec(
        key="add_clip",
        text="Add delivery from a clip …",
        group="File",
        intent="window.add_clip",
        shortcut="Ctrl+D",
        icon="add_clip",
        is_behind_line=True,
    ),
    ActionSpec(
        key="add_without_clip",
        text="Add delivery without a clip …",
        group="File",
        intent="window.add_without_clip",
    ),
    ActionSpec(
        key="facts",
        text="Who, when, how filmed …",
        group="File",
        intent="window.edit_facts",
        shortcut="Ctrl+I",
        icon="facts",
        needs="delivery",
    ),
    ActionSpec(
        key="relink",
        text="Find moved clips …",
        group="File",
        intent="window.relink",
        icon="relink",
        needs="delivery",
    ),
    ActionSpec(
        key="page",
        text="Page …",
        group="File",
        intent="window.show_page",
        shortcut="Ctrl+P",
        icon="page",
        needs="partner",
        is_behind_line=True,
    ),
    ActionSpec(
        key="tables",
        text="Export tables …",
        group="File",
        intent="window.export_tables",
        shortcut="Ctrl+E",
        icon="table",
        needs="delivery",
    ),
    ActionSpec(
        key="quit",
        text="Quit",
        group="File",
        intent="window.close",
        shortcut="Ctrl+Q",
        is_behind_line=True,
    ),
)

_EDIT = (
    ActionSpec(
        key="undo",
        text="Undo",
        group="Edit",
        intent="session.undo",
        shortcut="Ctrl+Z",
        icon="undo",
    ),
    ActionSpec(
        key="redo",
        text="Redo",
        group="Edit",
        intent="session.redo",
        shortcut="Ctrl+Shift+Z|Ctrl+Y",
        icon="redo",
    ),
    ActionSpec(
        key="do_next",
        text="Do what is next",
        group="Edit",
        intent="window.do_next",
        shortcut="Ctrl+Return",
        icon="next",
        is_behind_line=True,
    ),
    ActionSpec(
        key="scale",
        text="Set the scale …",
        group="Edit",
        intent="window.set_scale",
        shortcut="Ctrl+L",
        icon="scale",
        needs="delivery",
    ),
    ActionSpec(
        key="remove_delivery",
        text="Remove this delivery",
        group="Edit",
        intent="window.remove_delivery",
        needs="delivery",
        is_behind_line=True,
    ),
)

_FRAME = tuple(
    ActionSpec(
        key=key,
        text=text,
        group="Frame",
        intent=f"session.{intent}",
        argument=argument,
        shortcut=shortcut,
        icon=icon,
        needs="delivery",
        is_behind_line=key == "event_before",
    )
    for key, text, intent, argument, shortcut, icon in (
        ("frame_after", "Next frame", "step", 1, ".", "frame_after"),
        ("frame_before", "Previous frame", "step", -1, ",", "frame_before"),
        ("frames_after", "Ten frames on", "step", 10, "PgDown", ""),
        ("frames_before", "Ten frames back", "step", -10, "PgUp", ""),
        ("event_before", "Previous event", "next_event", -1, "Ctrl+PgUp|[", "event_before"),
        ("event_after", "Next event", "next_event", 1, "Ctrl+PgDown|]", "event_after"),
    )
)

_MARK = tuple(
    ActionSpec(
        key=f"mark_{event.key}",
        text=f"Mark {event.name} here",
        group="Events",
        intent="window.mark_event",
        argument=event.key,
        shortcut=str(number),
        icon="flag" if number == 1 else "",
        needs="delivery",
    )
    for number, event in enumerate(EVENTS, 1)
)
_GO = tuple(
    ActionSpec(
        key=f"go_{event.key}",
        text=f"Go to {event.name}",
        group="Events",
        intent="session.go_to_event",
        argument=event.key,
        shortcut=f"Ctrl+{number}",
        needs="delivery",
        is_behind_line=number == 1,
    )
    for number, event in enumerate(EVENTS, 1)
)

_LANDMARKS = (
    ActionSpec(
        key="skip",
        text="Skip the landmark asked for",
        group="Landmarks",
        intent="window.skip_landmark",
        shortcut="S",
        icon="skip",
        needs="delivery",
    ),
    ActionSpec(
        key="hide",
        text="It cannot be seen here",
        group="Landmarks",
        intent="window.hide_landmark",
        shortcut="H",
        icon="hidden",
        needs="delivery",
    ),
    ActionSpec(
        key="remove",
        text="Remove the current landmark",
        group="Landmarks",
        intent="window.remove_landmark",
        shortcut="Del",
        icon="remove",
        needs="delivery",
    ),
    ActionSpec(
        key="remove_mark",
        text="Remove the event mark at this frame",
        group="Events",
        intent="window.remove_mark",
        shortcut="Shift+Del",
        needs="delivery",
        is_behind_line=True,
    ),
)

_COMPARE = (
    ActionSpec(
        key="other_side",
        text="Work on the other delivery",
        group="Compare",
        intent="window.other_side",
        shortcut="Ctrl+Tab|X",
        icon="swap",
        needs="partner",
    ),
    ActionSpec(
        key="linked",
        text="Partner follows at the same phase",
        group="Compare",
        intent="session.set_linked",
        shortcut="K",
        icon="link",
        is_checkable=True,
    ),
    ActionSpec(
        key="mirrored",
        text="Draw left-handers mirrored",
        group="Compare",
        intent="session.set_mirrored",
        shortcut="M",
        icon="mirror",
        is_checkable=True,
    ),
)

_LOOK = (
    *(
        ActionSpec(
            key=f"look_{look}",
            text=text,
            group="Look",
            intent="window.set_look",
            argument=look,
        )
        for look, text in (
            ("dark", "Dark"),
            ("light", "Light"),
            ("system", "As the system has it"),
        )
    ),
    ActionSpec(
        key="larger",
        text="Larger type",
        group="Look",
        intent="window.change_type_size",
        argument=1,
        shortcut="Ctrl++|Ctrl+=",
        is_behind_line=True,
    ),
    ActionSpec(
        key="smaller",
        text="Smaller type",
        group="Look",
        intent="window.change_type_size",
        argument=-1,
        shortcut="Ctrl+-",
    ),
    ActionSpec(
        key="metric",
        text="Metres, metres a second",
        group="Look",
        intent="window.set_units",
        argument="metric",
        is_behind_line=True,
    ),
    ActionSpec(
        key="imperial",
        text="Inches, miles an hour",
        group="Look",
        intent="window.set_units",
        argument="imperial",
    ),
    ActionSpec(
        key="full_screen",
        text="Full screen",
        group="Look",
        intent="window.set_full_screen",
        shortcut="F11",
        is_checkable=True,
        is_behind_line=True,
    ),
)

_HELP = (
    ActionSpec(
        key="keys", text="Keys", group="Help", intent="window.show_keys", shortcut="F1", icon="help"
    ),
    ActionSpec(
        key="cautions",
        text="What the numbers mean, and do not",
        group="Help",
        intent="window.show_cautions",
        icon="caution",
    ),
    ActionSpec(key="about", text="About deliverylab", group="Help", intent="window.show_about"),
)

ACTIONS: tuple[ActionSpec, ...] = (
    *_FILE,
    *_EDIT,
    *_FRAME,
    *_MARK,
    *_GO,
    *_LANDMARKS,
    *_COMPARE,
    *_LOOK,
    *_HELP,
)
BY_KEY: dict[str, ActionSpec] = {action.key: action for action in ACTIONS}
