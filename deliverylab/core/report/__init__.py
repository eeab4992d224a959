"""The page and the tables that are handed over."""
