"""Event marks: whether they can be true together."""
