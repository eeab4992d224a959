"""The Python API by subject; the package itself offers all of it."""
