"""Make the example clips and their truth: ``python examples/make_examples.py [NAME ...]``.

Everything is drawn from the scenario in ``deliverylab.core.synthetic.scenario``: invented people,
a computed figure, no recording of anyone.
"""

from __future__ import annotations

import argparse
import csv
import json
import os
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from deliverylab.core.synthetic.scenario import demo_scenario, example_clip
from deliverylab.core.synthetic.truth import clip_truth, position_rows
from deliverylab.core.video.writer import write_clip

HERE = Path(__file__).resolve().parent
CRF = 20
GOP = 60


def make(name: str, folder: Path) -> str:
    """Write one clip with its truth; return what was written."""
    started = time.perf_counter()
    clip = example_clip(name)
    clips, truth = folder / "clips", folder / "truth"
    for place in (clips, truth):
        place.mkdir(parents=True, exist_ok=True)
    path = clips / f"{name}.mp4"
    options = {"preset": "medium"}
    write_clip(path, clip.film().pictures(), clip.rate_hz, crf=CRF, gop=GOP, options=options)
    known = json.dumps(clip_truth(clip), indent=1, ensure_ascii=False)
    (truth / f"{name}.json").write_text(known + "\n", encoding="utf-8")
    with (truth / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("frame", "landmark", "x_px", "y_px"))
        writer.writerows((f, k, f"{x:.2f}", f"{y:.2f}") for f, k, x, y in position_rows(clip))
    took = time.perf_counter() - started
    return f"{path.relative_to(folder)}: {path.stat().st_size / 1e6:.2f} MB in {took:.0f} s"


def main() -> None:
    """Make the clips asked for, or all."""
    parser = argparse.ArgumentParser(description="Make the example clips and their truth.")
    parser.add_argument("names", nargs="*", metavar="NAME", help="clips to make (default: all)")
    parser.add_argument("--out", type=Path, default=HERE, help="folder (default: examples)")
    asked = parser.parse_args()
    names = asked.names or list(demo_scenario())
    with ProcessPoolExecutor(max_workers=min(len(names), os.cpu_count() or 1)) as pool:
        for line in pool.map(make, names, [asked.out] * len(names)):
            print(line)


if __name__ == "__main__":
    main()
