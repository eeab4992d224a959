"""Part of the table of actions: what is handed on as a zip or as a picture."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

PACK = (
    ActionSpec(
        key="export_picture",
        text="Save the picture of this stage …",
        group="File",
        intent="window.export_picture",
        icon="export",
        needs="delivery",
    ),
    ActionSpec(
        key="pack",
        text="Pack to share …",
        group="Hand over",
        intent="window.show_pack",
        shortcut="Ctrl+Shift+P",
        needs="delivery",
    ),
)
