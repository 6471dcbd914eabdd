"""The report's tables on a terminal. Colour marks nothing that words do not say too."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from rich import box
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table as RichTable

if TYPE_CHECKING:
    from rich.console import Console

    from middlerun.report.table import Table

_GAP = 2  # spaces between columns: one of padding, one of the box
_WRAPPED = 24  # words may be broken into lines of this width, numbers never


def print_tables(console: Console, tables: Iterable[Table]) -> None:
    """Print tables with a blank line after each; an empty one is its title and note."""
    for table in tables:
        print_table(console, table)


def print_table(console: Console, table: Table) -> None:
    """Print one table: title, rows, note. One that is too wide is printed in parts that begin with its first column."""
    if table.title:
        console.print(f"[bold]{escape(table.title)}[/bold]")
    if table.rows:
        for number, part in enumerate(_parts(table, console.width - 2)):
            if number:
                console.print()
            _print_part(console, table, part)
    if table.note:
        console.print(Padding(f"[dim]{escape(table.note)}[/dim]", (0, 0, 0, 1), expand=False))
    console.print()


def print_list(console: Console, title: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a plain list of words with headings."""
    console.print(f"[bold]{escape(title)}[/bold]")
    grid = _grid()
    for heading in headings:
        grid.add_column(escape(heading), overflow="fold")
    for row in rows:
        grid.add_row(*(escape(cell) for cell in row))
    console.print(Padding(grid, (0, 0, 0, 1), expand=False))


def _print_part(console: Console, table: Table, places: Sequence[int]) -> None:
    grid = _grid()
    for column in (table.columns[place] for place in places):
        unit = f"\n[dim]{escape(column.unit)}[/dim]" if column.unit else ""
        grid.add_column(
            escape(column.label) + unit,
            justify="right" if column.numeric else "left",
            vertical="top",
            no_wrap=column.numeric,
            overflow="fold",
        )
    for row in table.rows:
        grid.add_row(*(escape(row[place]) for place in places))
    console.print(Padding(grid, (0, 0, 0, 1), expand=False))


def _parts(table: Table, width: int) -> Iterator[list[int]]:
    """Yield the places of the columns that fit beside each other, the first column in every part."""
    needs = [_need(table, place) for place in range(len(table.columns))]
    part, used = [0], needs[0]
    for place, need in enumerate(needs[1:], 1):
        if used + _GAP + need > width and len(part) > 1:
            yield part
            part, used = [0], needs[0]
        part.append(place)
        used += _GAP + need
    yield part


def _need(table: Table, place: int) -> int:
    column = table.columns[place]
    cells = [len(row[place]) for row in table.rows]
    heading = max(len(column.label), len(column.unit))
    return max([heading, *cells]) if column.numeric else max(heading, min(_WRAPPED, max(cells)))


def _grid() -> RichTable:
    return RichTable(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, _GAP - 1, 0, 0))
