"""Part of the table of actions: how well somebody places, and how placed points scatter."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

PLACING = (
    ActionSpec(
        key="place_again",
        text="Place again, to know my own ± …",
        group="Landmarks",
        intent="window.place_again",
        shortcut="Ctrl+R",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="precision",
        text="How well I place …",
        group="Landmarks",
        intent="window.show_precision",
        needs="delivery",
    ),
    ActionSpec(
        key="scatter",
        text="How this landmark scatters …",
        group="Landmarks",
        intent="window.show_scatter",
        needs="delivery",
    ),
)
