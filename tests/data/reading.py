"""Read a table of published numbers: `#` lines say where it comes from, then a header row."""

from __future__ import annotations

import csv
from pathlib import Path

HERE = Path(__file__).parent


def rows(name: str | Path) -> list[dict[str, str]]:
    """Rows of a CSV file beside this one (or at a full path), every cell as text.

    >>> rows("strength_density.csv")[0]["rho20_kg_m3"]
    '998.201'
    """
    path = HERE / name
    lines = path.read_text(encoding="utf-8").splitlines()
    assert any(line.startswith("#") and "Source" in line for line in lines), f"{path.name} names no source"
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))
