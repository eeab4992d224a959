"""One file a pane of the window; panes know the session, not each other."""
