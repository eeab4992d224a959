"""Part of the table of actions: what is handed on as tables, as a picture, as a zip."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

PACK = (
    ActionSpec(
        key="export_tracks",
        text="Export positions as a table …",
        group="File",
        intent="window.export_table",
        argument="tracks",
        needs="delivery",
    ),
    ActionSpec(
        key="export_events",
        text="Export event marks as a table …",
        group="File",
        intent="window.export_table",
        argument="events",
        needs="delivery",
    ),
    ActionSpec(
        key="export_budgets",
        text="Export budgets as a table …",
        group="File",
        intent="window.export_table",
        argument="budgets",
        needs="delivery",
    ),
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
