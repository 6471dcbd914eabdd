"""The report's tables on a terminal. Colour marks nothing that words do not say too."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich import box
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table as RichTable

if TYPE_CHECKING:
    from rich.console import Console

    from middlerun.report.table import Table


def print_tables(console: Console, tables: Iterable[Table]) -> None:
    """Print tables with a blank line between them; an empty one is its title and note."""
    for table in tables:
        print_table(console, table)


def print_table(console: Console, table: Table) -> None:
    """Print one table: title, rows, note."""
    if table.title:
        console.print(f"[bold]{escape(table.title)}[/bold]")
    if table.rows:
        grid = RichTable(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 2, 0, 0))
        for column in table.columns:
            heading = (
                f"{escape(column.label)}\n[dim]{escape(column.unit)}[/dim]" if column.unit else escape(column.label)
            )
            grid.add_column(
                heading,
                justify="right" if column.numeric else "left",
                vertical="top",
                no_wrap=column.numeric,
                overflow="fold",
            )
        for row in table.rows:
            grid.add_row(*(escape(cell) for cell in row))
        console.print(Padding(grid, (0, 0, 0, 1), expand=False))
    if table.note:
        console.print(Padding(f"[dim]{escape(table.note)}[/dim]", (0, 0, 0, 1), expand=False))
    console.print()


def print_list(console: Console, title: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a plain list of words with headings."""
    console.print(f"[bold]{escape(title)}[/bold]")
    grid = RichTable(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in headings:
        grid.add_column(escape(heading), overflow="fold")
    for row in rows:
        grid.add_row(*(escape(cell) for cell in row))
    console.print(Padding(grid, (0, 0, 0, 1), expand=False))
