"""Part of the table of actions: the ball, and what the film itself is worth."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

FILM = (
    ActionSpec(
        key="find_ball",
        text="Find the ball after release",
        short="Ball",
        group="Landmarks",
        intent="window.find_ball",
        shortcut="B",
        icon="ball",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="place_ball",
        text="Place the ball by hand",
        group="Landmarks",
        intent="window.place_ball",
        shortcut="Shift+B",
        needs="delivery",
    ),
    ActionSpec(
        key="clip_time",
        text="Time of the clip, rolling shutter …",
        group="Edit",
        intent="window.show_clip_time",
        shortcut="Ctrl+T",
        needs="delivery",
    ),
    ActionSpec(
        key="check_fall",
        text="Check scale and frame rate with a falling ball …",
        group="Edit",
        intent="window.check_fall",
        shortcut="Ctrl+G",
        needs="delivery",
    ),
)
