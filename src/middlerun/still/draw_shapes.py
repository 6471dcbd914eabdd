"""Lines, valves and instrument bubbles of the schematic, as SVG text. Lengths are the drawing's own units.

Colours stand as attributes, so that a printer's SVG reader understands them; the classes let a page restyle them.
"""

from __future__ import annotations

import re
from html import escape

INK = "#2b2f33"
THIN = "#6b7076"
METAL_FILL = "#e3e5e7"
LIQUID_FILL = "#cdd1d5"
GROUND = "#f2f3f4"
ABNORMAL = "#b3261e"

Point = tuple[float, float]
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def number(value: float) -> str:
    """Write a coordinate with at most one decimal.

    >>> number(12.04), number(3.0)
    ('12', '3')
    """
    return f"{value:.1f}".rstrip("0").rstrip(".")


def path(
    d: str, *, fill: str = "none", width: float = 2.0, colour: str = INK, kind: str = "ink", dash: str = ""
) -> str:
    """Draw a path; `kind` is its class."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path class="{kind}" d="{d}" fill="{fill}" stroke="{colour}" stroke-width="{number(width)}"'
        f' stroke-linejoin="round" stroke-linecap="round"{dashes}/>'
    )


def lines(*points: Point, **style: object) -> str:
    """Draw a line through points."""
    d = "M" + " L".join(f"{number(x)} {number(y)}" for x, y in points)
    return path(d, **style)  # type: ignore[arg-type]


def box(x: float, y: float, width: float, height: float, *, corner: float = 4.0, fill: str = METAL_FILL) -> str:
    """Draw a vessel or shell as a rectangle with rounded corners."""
    return (
        f'<rect class="metal" x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}" '
        f'rx="{number(corner)}" fill="{fill}" stroke="{INK}" stroke-width="2"/>'
    )


def words(content: str) -> str:
    """Make text fit for XML: markup escaped, characters that XML does not allow left out.

    >>> words("A & B" + chr(0))
    'A &amp; B'
    """
    return escape(_NOT_XML.sub("", content))


def label(
    x: float, y: float, content: str, *, anchor: str = "start", size: int = 13, colour: str = INK, bold: bool = False
) -> str:
    """Write a line of text with its baseline at y."""
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text class="words" x="{number(x)}" y="{number(y)}" text-anchor="{anchor}" font-size="{size}"'
        f' fill="{colour}"{weight}>{words(content)}</text>'
    )


def arrow(x: float, y: float, towards: str) -> str:
    """Draw a small filled arrow head with its tip at (x, y), pointing left, right, up or down."""
    dx, dy = {"left": (1, 0), "right": (-1, 0), "up": (0, 1), "down": (0, -1)}[towards]
    a, b = (x + 9 * dx + 4 * dy, y + 9 * dy + 4 * dx), (x + 9 * dx - 4 * dy, y + 9 * dy - 4 * dx)
    d = f"M{number(x)} {number(y)} L{number(a[0])} {number(a[1])} L{number(b[0])} {number(b[1])} Z"
    return path(d, fill=INK, width=1)


def valve(x: float, y: float, *, upright: bool = False) -> str:
    """Draw a hand valve: two triangles tip to tip."""
    w, h = (5, 8) if upright else (8, 5)
    if upright:
        corners = ((x - w, y - h), (x + w, y - h), (x - w, y + h), (x + w, y + h))
    else:
        corners = ((x - w, y - h), (x - w, y + h), (x + w, y - h), (x + w, y + h))
    d = "M" + " L".join(f"{number(a)} {number(b)}" for a, b in corners) + " Z"
    return path(d, fill=GROUND, width=1.5)


def relief_valve(x: float, y: float) -> str:
    """Draw a relief valve at the end of a branch from the left: a valve with a spring on it."""
    spring = lines((x, y), (x, y - 5), (x - 4, y - 7), (x + 4, y - 10), (x - 4, y - 13), (x, y - 15), width=1.3)
    return valve(x, y) + spring


def vacuum_breaker(x: float, y: float) -> str:
    """Draw a vacuum breaker at the end of a branch from the left: a check valve that opens inwards."""
    d = f"M{number(x + 7)} {number(y - 6)} L{number(x + 7)} {number(y + 6)} L{number(x - 5)} {number(y)} Z"
    return path(d, fill=GROUND, width=1.5) + lines((x - 5, y - 6), (x - 5, y + 6), width=1.5)


def heating_element(x: float, y: float, width: float) -> str:
    """Draw an electric element as a flat zigzag from (x, y) to the right."""
    step = width / 8.0
    points = [(x + i * step, y + (4.0 if i % 2 else -4.0)) for i in range(9)]
    return lines(*points, width=2)


def flame(x: float, y: float) -> str:
    """Draw one flame above its burner hole at (x, y)."""
    d = f"M{number(x)} {number(y)} q-9 -8 0 -24 q9 16 0 24 Z"
    return path(d, fill=GROUND, width=1.5)


def warning_sign(x: float, y: float, size: float = 9.0) -> str:
    """Draw a triangle with an exclamation mark, centred on (x, y), in the abnormal colour."""
    d = f"M{number(x)} {number(y - size)} L{number(x + size)} {number(y + size * 0.7)} L{number(x - size)} "
    triangle = path(f"{d}{number(y + size * 0.7)} Z", fill="#ffffff", colour=ABNORMAL, width=1.8, kind="abnormal")
    return triangle + label(x, y + size * 0.5, "!", anchor="middle", size=11, colour=ABNORMAL, bold=True)


def bubble(x: float, y: float, letters: str, loop: str, *, radius: float, abnormal: bool = False) -> str:
    """Draw an instrument bubble of ISA-5.1, mounted in the field: a plain circle with letters over loop number."""
    colour, width, kind = (ABNORMAL, 3.0, "abnormal") if abnormal else (INK, 1.5, "bubble")
    circle = (
        f'<circle class="{kind}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="#ffffff" '
        f'stroke="{colour}" stroke-width="{number(width)}"/>'
    )
    size = 12 if len(letters) <= 3 else 10
    return (
        circle
        + label(x, y - 1.5, letters, anchor="middle", size=size, bold=True)
        + label(x, y + 12, loop, anchor="middle", size=11 if len(loop) <= 4 else 9)
    )
