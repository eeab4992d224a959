"""Measure pitching deliveries from phone clips, with the uncertainty of every number."""

from __future__ import annotations

__version__ = "0.1.0"
