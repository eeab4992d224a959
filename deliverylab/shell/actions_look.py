"""Part of the table of actions: looks of the window, and help."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

LOOK = (
    *(
        ActionSpec(
            key=f"look_{look}",
            text=text,
            group="Look",
            intent="window.set_look",
            argument=look,
        )
        for look, text in (
            ("dark", "Dark"),
            ("light", "Light"),
            ("system", "As the system has it"),
        )
    ),
    ActionSpec(
        key="larger",
        text="Larger type",
        group="Look",
        intent="window.change_type_size",
        argument=1,
        shortcut="Ctrl++|Ctrl+=",
        is_behind_line=True,
    ),
    ActionSpec(
        key="smaller",
        text="Smaller type",
        group="Look",
        intent="window.change_type_size",
        argument=-1,
        shortcut="Ctrl+-",
    ),
    ActionSpec(
        key="metric",
        text="Metres, metres a second",
        group="Look",
        intent="window.set_units",
        argument="metric",
        is_behind_line=True,
    ),
    ActionSpec(
        key="imperial",
        text="Inches, miles an hour",
        group="Look",
        intent="window.set_units",
        argument="imperial",
    ),
    ActionSpec(
        key="full_screen",
        text="Full screen",
        group="Look",
        intent="window.set_full_screen",
        shortcut="F11",
        is_checkable=True,
        is_behind_line=True,
    ),
)

HELP = (
    ActionSpec(
        key="keys", text="Keys", group="Help", intent="window.show_keys", shortcut="F1", icon="help"
    ),
    ActionSpec(
        key="cautions",
        text="What the numbers mean, and do not",
        short="What ± means",
        group="Help",
        intent="window.show_cautions",
        icon="caution",
    ),
    ActionSpec(key="about", text="About deliverylab", group="Help", intent="window.show_about"),
)
