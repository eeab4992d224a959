"""Part of the table of actions: what became of an athlete over visits."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

PROGRESS = (
    ActionSpec(
        key="differences",
        text="Differences",
        group="Compare",
        intent="window.show_differences",
        shortcut="D",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="progress",
        text="Progress over visits",
        group="Compare",
        intent="window.show_progress",
        shortcut="Ctrl+H",
        needs="delivery",
    ),
)
