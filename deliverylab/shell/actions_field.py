"""Part of the table of actions: the field, clicked in several clips, and the cameras solved from it."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

FIELD = (
    ActionSpec(
        key="field",
        text="Cameras on the field …",
        short="Field",
        group="Edit",
        intent="window.show_field",
        shortcut="Ctrl+F",
        icon="field",
        needs="delivery",
    ),
    ActionSpec(
        key="solve_field",
        text="Solve the cameras",
        group="Edit",
        intent="window.solve_field",
        shortcut="Ctrl+Shift+F",
        needs="delivery",
    ),
    ActionSpec(
        key="field_above",
        text="Solved cameras from above, clocks …",
        group="Edit",
        intent="window.show_cameras",
        needs="delivery",
    ),
)

FIELD_SHEET = (
    ActionSpec(
        key="field_sheet",
        text="Field set-up sheet for two phones …",
        group="File",
        intent="window.show_field_sheet",
    ),
)
