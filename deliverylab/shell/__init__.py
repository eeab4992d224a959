"""The window: shows what the core measures and asks what it needs."""
