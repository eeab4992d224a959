"""Deliveries of known truth, for the demo and the tests."""
