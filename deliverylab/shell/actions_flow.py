"""Part of the table of actions: placing landmarks one after the other."""

from __future__ import annotations

from deliverylab.shell.action_spec import ActionSpec

FLOW = (
    ActionSpec(
        key="next_place",
        text="Next place that matters",
        group="Landmarks",
        intent="window.go_to_next_place",
        shortcut="P",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="previous_place",
        text="Back to the one placed before",
        group="Landmarks",
        intent="session.previous_place",
        shortcut="Shift+P",
        needs="delivery",
    ),
    ActionSpec(
        key="by_landmark",
        text="One landmark through the frames, not frame by frame",
        short="By landmark",
        group="Landmarks",
        intent="session.set_placing_order",
        shortcut="O",
        is_checkable=True,
    ),
    ActionSpec(
        key="goes_on",
        text="Go on by itself to what is placed next",
        short="Goes on",
        group="Landmarks",
        intent="session.set_going_on",
        shortcut="Shift+O",
        is_checkable=True,
    ),
    ActionSpec(
        key="accept_guess",
        text="It is where the guess is",
        group="Landmarks",
        intent="window.accept_guess",
        shortcut="J",
        needs="delivery",
        is_behind_line=True,
    ),
    ActionSpec(
        key="accept_guesses",
        text="All guesses of this frame are right",
        group="Landmarks",
        intent="window.accept_guesses",
        shortcut="Shift+J",
        needs="delivery",
    ),
    ActionSpec(
        key="swap_sides",
        text="Swap left and right of this landmark here",
        group="Landmarks",
        intent="window.swap_sides",
        argument="here",
        shortcut="R",
        needs="delivery",
    ),
    ActionSpec(
        key="swap_stretch",
        text="Swap them up to the next frame placed by hand",
        group="Landmarks",
        intent="window.swap_sides",
        argument="stretch",
        shortcut="Shift+R",
        needs="delivery",
    ),
)
LINE_BUTTONS = ("by_landmark", "goes_on")
"""What stands at the end of the line below the stages."""
