"""The window: puts panes, dialogs and menus together."""
