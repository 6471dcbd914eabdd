"""Read the tables of this folder: lines that start with # say what they hold and where it comes from."""

from __future__ import annotations

import csv
from pathlib import Path


def rows(path: Path) -> list[dict[str, str]]:
    """Return the rows of a table as dictionaries."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))
