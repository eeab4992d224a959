"""Part of the table of actions: the walkthrough clip."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

WALKTHROUGH = (
    ActionSpec(
        key="walkthrough",
        text="Walkthrough clip …",
        short="Walkthrough",
        group="Hand over",
        intent="window.show_walkthrough",
        shortcut="Ctrl+M",
        icon="walkthrough",
        needs="partner",
    ),
    ActionSpec(
        key="walk_stop",
        text="Walkthrough stops here too",
        group="Hand over",
        intent="window.add_walk_stop",
        shortcut="Ctrl+Shift+M",
        needs="partner",
    ),
)
