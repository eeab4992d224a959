"""Clips: index, exact frames, warm copies for scrubbing, probing and writing."""
