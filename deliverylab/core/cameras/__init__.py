"""From pixels to metres."""
