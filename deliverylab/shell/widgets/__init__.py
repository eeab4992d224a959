"""Parts that panes and dialogs are made of; they do not know each other."""
