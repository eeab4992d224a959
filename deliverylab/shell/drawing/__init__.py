"""Geometry and painting that several widgets share: no state of a project, no events."""
