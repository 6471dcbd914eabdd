"""Benchmarks: how fast and how exact a prediction is, each figure beside its alternative, all measured in one run.

`python -m benchmarks` measures, prints tables and writes out/bench/*.json; `--page` writes docs/benchmarks.md and its
picture from what was just measured. Takes: the package as it is installed. Never: used by the package itself.
"""

import os

# One thread of linear algebra: the rivals are compared on one core, and threads for 50 by 50 matrices only cost.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
