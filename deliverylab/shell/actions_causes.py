"""Part of the table of actions: what the differences start with."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

CAUSES = (
    ActionSpec(
        key="causes",
        text="What the differences start with",
        short="Causes",
        group="Compare",
        intent="window.show_causes",
        shortcut="Shift+C",
        icon="causes",
        needs="comparison",
        is_checkable=True,
        is_behind_line=True,
    ),
)
