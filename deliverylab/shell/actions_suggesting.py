"""Part of the table of actions: events that the tracks suggest."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

ACCEPT_ALL, ACCEPT_NEAREST = "A", "Shift+A"

SUGGESTING = (
    ActionSpec(
        key="accept_suggestions",
        text="Mark all events where they are suggested",
        short="Accept suggested",
        group="Events",
        intent="window.accept_suggestions",
        shortcut=ACCEPT_ALL,
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="accept_nearest",
        text="Mark the suggested event nearest to this frame",
        group="Events",
        intent="window.accept_nearest_suggestion",
        shortcut=ACCEPT_NEAREST,
        needs="delivery",
    ),
)
