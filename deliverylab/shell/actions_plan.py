"""Part of the table of actions: what the athlete works on, and the instructor's own library."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

PLAN = (
    ActionSpec(
        key="work_on",
        text="What to work on …",
        short="Plan",
        group="Hand over",
        intent="window.show_work_on",
        shortcut="Ctrl+K",
        icon="work_on",
        needs="delivery",
    ),
    ActionSpec(
        key="library",
        text="Cues, drills and links of your own …",
        group="Hand over",
        intent="window.show_library",
        shortcut="Ctrl+Shift+K",
    ),
)
