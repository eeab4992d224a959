"""Arithmetic on arrays that knows nothing of deliveries."""
