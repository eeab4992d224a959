"""Part of the table of actions: figures, second clips and courses, as they are seen."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

VIEWS = (
    ActionSpec(
        key="space",
        text="Figure in space",
        group="Look",
        intent="window.show_space",
        shortcut="F",
        icon="space",
        needs="delivery",
        is_checkable=True,
        is_behind_line=True,
    ),
    ActionSpec(
        key="both_clips",
        text="Other clip of this delivery beside it",
        group="Look",
        intent="session.set_both_clips",
        shortcut="C",
        icon="both_clips",
        needs="delivery",
        is_checkable=True,
    ),
    ActionSpec(
        key="sight_lines",
        text="Line that the other clip gives for a landmark",
        group="Look",
        intent="session.set_sight_lines",
        shortcut="G",
        icon="sight_line",
        is_checkable=True,
    ),
    ActionSpec(
        key="coordinates",
        text="Coordinates of a landmark below the frames",
        group="Look",
        intent="window.show_coordinates",
        shortcut="V",
        icon="coordinates",
        needs="delivery",
        is_checkable=True,
    ),
)

POINTS = (
    ActionSpec(
        key="point_after",
        text="Next point to look at",
        group="Landmarks",
        intent="window.step_point",
        argument=1,
        shortcut="N",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="point_before",
        text="Previous point to look at",
        group="Landmarks",
        intent="window.step_point",
        argument=-1,
        shortcut="Shift+N",
        needs="delivery",
    ),
    ActionSpec(
        key="say_right",
        text="The point looked at is right",
        group="Landmarks",
        intent="window.say_right",
        shortcut="Y",
        needs="delivery",
    ),
)
