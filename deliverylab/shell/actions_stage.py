"""Part of the table of actions: how two deliveries are shown, what is drawn on them, playing."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

PLAYING = (
    ActionSpec(
        key="play",
        text="Play, or stop",
        group="Frame",
        intent="session.toggle_play",
        shortcut="Space",
        icon="play",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="slower",
        text="Play slower",
        group="Frame",
        intent="session.change_speed",
        argument=-1,
        shortcut="Ctrl+,",
        needs="delivery",
    ),
    ActionSpec(
        key="faster",
        text="Play faster",
        group="Frame",
        intent="session.change_speed",
        argument=1,
        shortcut="Ctrl+.",
        needs="delivery",
    ),
    ActionSpec(
        key="loop",
        text="Play the next part round and round",
        group="Frame",
        intent="session.next_loop",
        shortcut="Shift+L",
        icon="loop",
        needs="delivery",
    ),
)
STAGES = (
    ActionSpec(
        key="over",
        text="One over the other",
        short="Over",
        group="Compare",
        intent="session.lay_over",
        shortcut="Z",
        icon="overlay",
        needs="partner",
        is_checkable=True,
        is_behind_line=True,
    ),
    ActionSpec(
        key="at_foot",
        text="Lay over from where they stand, not at the pelvis",
        short="From the rubber",
        group="Compare",
        intent="window.lay_over_at_foot",
        icon="from_rubber",
        needs="partner",
        is_checkable=True,
    ),
    ActionSpec(
        key="bodies_only",
        text="Skeletons only",
        short="Skeletons",
        group="Compare",
        intent="session.show_bodies_only",
        shortcut="Shift+Z",
        icon="skeleton",
        needs="delivery",
        is_checkable=True,
    ),
    ActionSpec(
        key="curves",
        text="Curves over phase",
        short="Curves",
        group="Compare",
        intent="session.show_curves",
        shortcut="Shift+V",
        icon="curves",
        needs="delivery",
        is_checkable=True,
    ),
    ActionSpec(
        key="measures",
        text="Measurements on the picture",
        short="Measured",
        group="Compare",
        intent="session.set_measures",
        shortcut="U",
        icon="measures",
        is_checkable=True,
    ),
)
ARRANGEMENT = ("over", "at_foot", "bodies_only", "curves", "measures")
"""What the line above the stages offers, in its order."""
