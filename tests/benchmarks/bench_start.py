"""How long it takes from the start of the program to a window on the screen, in a fresh process.

Run ``python tests/benchmarks/bench_start.py [PROJECT.delivery]``; with a project, also until its
first picture is on a stage.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys

N_STARTS = 5
SCRIPT = """
import sys, time
start = time.perf_counter()
from PySide6.QtCore import QEventLoop
from pathlib import Path
from deliverylab.shell import app as shell
app = shell.application()
window = shell.make_window()
window.show()
app.processEvents()
print(f"shown {time.perf_counter() - start:.3f}")
if len(sys.argv) > 1:
    window.take_file(Path(sys.argv[1]))
    deadline = time.perf_counter() + 30.0
    from deliverylab.shell.panes.stage import StagePane
    def has_picture():
        return any(pane.feed._has_picture for pane in window.findChildren(StagePane))
    while not has_picture() and time.perf_counter() < deadline:
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)
    print(f"picture {time.perf_counter() - start:.3f}" if has_picture() else "picture never")
window.close()
import os
sys.stdout.flush()
os._exit(0)
"""


def main() -> None:
    """Print medians over a few starts; the first one warms the disk and is left out."""
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    figures: dict[str, list[float]] = {}
    for number in range(N_STARTS + 1):
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT, *sys.argv[1:2]],
            env=environment, capture_output=True, text=True, check=False,
        )  # fmt: skip
        for line in run.stdout.splitlines() if number else ():
            name, value = line.split()
            figures.setdefault(name, []).append(float(value))
        if run.returncode:
            print(run.stderr)
    for name, values in figures.items():
        print(f"{name}: median {statistics.median(values):.2f} s, most {max(values):.2f} s")


if __name__ == "__main__":
    main()
