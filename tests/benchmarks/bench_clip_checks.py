"""How often each check of a clip finds what was done to it, and sees it where nothing was.

``python tests/benchmarks/bench_clip_checks.py [N]``: N varied clips of each kind (default 24),
none of them among those that the limits were set on.  The clips of a delivery speed up by a factor
of ten by themselves.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import numpy as np

from deliverylab.core.video.probe import probe
from tests.core.video.doctored import DOCTORED, doctored_clip

_FIRST_SEED = 2000


def main(n_clips: int) -> None:
    """Print hits and false alarms."""
    expected = {kind: kinds for kind, (_, kinds) in DOCTORED.items()}
    kinds = sorted(set().union(*expected.values()))
    print(f"{n_clips} clips of each kind: found as")
    print(f"{'made':<22}" + "".join(f"{kind:>14}" for kind in kinds) + f"{'repaired':>14}")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "clip.mp4"
        for kind in DOCTORED:
            found: Counter[str] = Counter()
            for number in range(n_clips):
                doctored_clip(path, kind, np.random.default_rng(_FIRST_SEED + number))
                report = probe(path)
                found.update({finding.kind for finding in report.findings})
                found["repaired"] += report.repair is not None
            cells = "".join(f"{found[each]:>14}" for each in (*kinds, "repaired"))
            print(f"{kind:<22}{cells}", flush=True)
    for path in sorted(Path("examples/clips").glob("*.mp4")):
        start = time.perf_counter()
        report = probe(path)
        took_s = time.perf_counter() - start
        print(f"{path.name}: {[f.kind for f in report.findings]} in {took_s:.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 24)
