"""One file a dialog: questions with an answer."""
