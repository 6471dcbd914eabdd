"""Tables for the terminal and for the page: one description, two ways to write it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table: title, names of the columns, rows of texts, and a sentence below."""

    title: str
    columns: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    note: str = ""

    def text(self) -> str:
        """Return it for a terminal."""
        widths = [max(len(line[i]) for line in (self.columns, *self.rows)) for i in range(len(self.columns))]
        lines = [
            "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
            for line in (self.columns, ["-" * width for width in widths], *self.rows)
        ]
        return "\n".join([self.title, *lines, *([self.note] if self.note else [])]) + "\n"

    def markdown(self) -> str:
        """Return it for the page."""
        lines = [f"| {' | '.join(line)} |" for line in (self.columns, ["---"] * len(self.columns), *self.rows)]
        return "\n".join([f"### {self.title}", "", *lines, *(["", self.note] if self.note else [])]) + "\n"


def three(value: float) -> str:
    """Return a number with three digits, never as a power of ten.

    >>> three(0.012345), three(6.2), three(1234.5)
    ('0.0123', '6.20', '1234')
    """
    if value == 0.0:
        return "0"
    size = abs(value)
    digits = 0
    while size < 100.0 and digits < 9:
        size *= 10.0
        digits += 1
    return f"{value:.{digits}f}"


def ms(seconds: float) -> str:
    """Return seconds as milliseconds with three digits.

    >>> ms(0.00712)
    '7.12'
    """
    return three(1e3 * seconds)


def small(value: float) -> str:
    """Return an error with two digits.

    >>> small(3.46e-6)
    '3.5e-06'
    """
    return f"{value:.1e}"
