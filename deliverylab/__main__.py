"""Run the command line: ``python -m deliverylab``."""

from __future__ import annotations

import sys

from deliverylab.cli import main

if __name__ == "__main__":
    sys.exit(main())
