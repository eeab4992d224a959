"""Table of everything that a key, a menu or a button can ask for."""

from __future__ import annotations

from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.shell.action_spec import GROUPS, ActionSpec, Group
from deliverylab.shell.actions_causes import CAUSES
from deliverylab.shell.actions_field import FIELD, FIELD_SHEET
from deliverylab.shell.actions_film import FILM
from deliverylab.shell.actions_flow import FLOW
from deliverylab.shell.actions_look import HELP, LOOK
from deliverylab.shell.actions_pack import PACK
from deliverylab.shell.actions_placing import PLACING
from deliverylab.shell.actions_plan import PLAN
from deliverylab.shell.actions_progress import PROGRESS
from deliverylab.shell.actions_stage import PLAYING, STAGES
from deliverylab.shell.actions_suggesting import SUGGESTING
from deliverylab.shell.actions_tracking import DETECTING, TRACKING
from deliverylab.shell.actions_views import POINTS, VIEWS
from deliverylab.shell.actions_walkthrough import WALKTHROUGH

__all__ = ["ACTIONS", "BY_KEY", "GROUPS", "ActionSpec", "Group"]

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
        short="Add clip",
        group="File",
        intent="window.add_clip",
        shortcut="Ctrl+D",
        icon="add_clip",
        is_behind_line=True,
    ),
    ActionSpec(
        key="add_camera",
        text="Add another camera of this delivery …",
        group="File",
        intent="window.add_camera",
        needs="delivery",
    ),
    ActionSpec(
        key="add_without_clip",
        text="Add delivery without a clip …",
        group="File",
        intent="window.add_without_clip",
    ),
    ActionSpec(
        key="import_positions",
        text="Import positions …",
        group="File",
        intent="window.import_positions",
        shortcut="Ctrl+Shift+I",
        icon="table",
        needs="delivery",
    ),
    ActionSpec(
        key="head",
        text="Title and organisation …",
        group="File",
        intent="window.edit_head",
        is_behind_line=True,
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
        short="Page",
        group="File",
        intent="window.show_page",
        shortcut="Ctrl+P",
        icon="page",
        needs="comparison",
        is_behind_line=True,
    ),
    ActionSpec(
        key="plan",
        text="Plan the filming …",
        short="Plan",
        group="File",
        intent="window.plan_set_up",
        shortcut="Ctrl+U",
        icon="plan",
    ),
    ActionSpec(
        key="export_results",
        text="Export readings as a table …",
        group="File",
        intent="window.export_table",
        argument="results",
        shortcut="Ctrl+E",
        icon="export",
        needs="delivery",
    ),
    ActionSpec(
        key="export_differences",
        text="Export differences as a table …",
        group="File",
        intent="window.export_table",
        argument="differences",
        shortcut="Ctrl+Shift+E",
        needs="comparison",
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
        short="Scale",
        group="Edit",
        intent="window.set_scale",
        shortcut="Ctrl+L",
        icon="scale",
        needs="delivery",
    ),
    ActionSpec(
        key="remove_camera",
        text="Remove this camera",
        group="Edit",
        intent="window.remove_camera",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="remove_delivery",
        text="Remove this delivery",
        group="Edit",
        intent="window.remove_delivery",
        needs="delivery",
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

_TRIM = tuple(
    ActionSpec(
        key=key,
        text=text,
        group="Frame",
        intent=f"session.{intent}",
        shortcut=shortcut,
        needs="delivery",
        is_behind_line=key == "clip_start",
    )
    for key, text, intent, shortcut in (
        ("clip_start", "Clip starts here", "start_clip_here", "Shift+Home"),
        ("clip_end", "Clip ends here", "end_clip_here", "Shift+End"),
        ("whole_clip", "Use the whole clip again", "use_whole_clip", ""),
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
        short="Other side",
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
        short="Mirror",
        group="Compare",
        intent="session.set_mirrored",
        shortcut="M",
        icon="mirror",
        is_checkable=True,
    ),
)

ACTIONS: tuple[ActionSpec, ...] = (
    *_FILE,
    *PACK,
    *FIELD_SHEET,
    *_EDIT,
    *FIELD,
    *_FRAME,
    *PLAYING,
    *_TRIM,
    *_MARK,
    *_GO,
    *SUGGESTING,
    *_LANDMARKS,
    *FLOW,
    *FILM,
    *TRACKING,
    *DETECTING,
    *PLACING,
    *POINTS,
    *_COMPARE,
    *STAGES,
    *CAUSES,
    *PLAN,
    *PROGRESS,
    *WALKTHROUGH,
    *LOOK,
    *VIEWS,
    *HELP,
)
BY_KEY: dict[str, ActionSpec] = {action.key: action for action in ACTIONS}
