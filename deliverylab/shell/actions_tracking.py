"""Part of the table of actions: landmarks that a machine suggests, follows or bridges."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

DETECTING = (
    ActionSpec(
        key="detect",
        text="Detect landmarks …",
        short="Detect",
        group="Landmarks",
        intent="window.show_detect",
        shortcut="Ctrl+B",
        icon="detect",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="waiting_after",
        text="Next place that the detector left to me",
        group="Landmarks",
        intent="window.step_waiting",
        argument=1,
        shortcut="W",
        needs="delivery",
    ),
    ActionSpec(
        key="waiting_before",
        text="Place before that the detector left to me",
        group="Landmarks",
        intent="window.step_waiting",
        argument=-1,
        shortcut="Shift+W",
        needs="delivery",
    ),
)

TRACKING = (
    ActionSpec(
        key="track_all",
        text="Track all landmarks between placed points",
        short="Track",
        group="Landmarks",
        intent="window.track_all",
        shortcut="T",
        icon="track",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="track_one",
        text="Track this landmark only",
        group="Landmarks",
        intent="window.track_one",
        shortcut="Shift+T",
        needs="delivery",
    ),
    ActionSpec(
        key="fill_gaps",
        text="Bridge short gaps",
        group="Landmarks",
        intent="window.fill_gaps",
        shortcut="Ctrl+Shift+T",
        needs="delivery",
    ),
    ActionSpec(
        key="steady",
        text="Take the camera's own motion out, or put it back",
        group="Landmarks",
        intent="window.steady",
        needs="delivery",
    ),
)
