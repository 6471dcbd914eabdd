"""The still as a schematic: one SVG for the page, the run sheet and the notebook.

Light grey ground, dark equipment, no colour but for what is abnormal, and that with a sign and a word. Tags stand in
bubbles as ANSI/ISA-5.1 has them. The drawing is our own: no standard's figures are copied.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from middlerun.errors import UnknownNameError
from middlerun.fields import nearest
from middlerun.still.description import Instrument, Still
from middlerun.still.draw_shapes import ABNORMAL, GROUND, THIN, Point, bubble, label, lines, number, warning_sign, words
from middlerun.still.draw_vessels import (
    POT_HEIGHT,
    column_height,
    draw_column,
    draw_condenser,
    draw_head,
    draw_pot,
    kilowatts,
    litres,
)
from middlerun.still.plate_type import plate_type_names
from middlerun.still.resolve import resolve

WIDTH = 780.0
_LEFT, _RIGHT, _TOP = 46.0, 734.0, 32.0  # where bubbles stand
_RADIUS = 20.0
_LETTER = 7.5  # about the width of a letter of 13
_RIGHT_HAND = ("condenser", "product")
_TAG = re.compile(r"^([A-Za-z]+)-?(.*)$")


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A reading to write beside its bubble: value with unit, and for an abnormal one the word that says how."""

    text: str
    abnormal: str = ""  # such as "high"; empty is normal


def draw_still(still: Still, readings: Mapping[str, str | Shown] | None = None) -> str:
    """Return the schematic of a still as an SVG document of its own.

    `readings` gives the text (or `Shown`) to stand by an instrument's tag; UnknownNameError for a tag that the still
    does not have. Readable at the width of an A4 page.

    >>> from middlerun.still import library_still
    >>> draw_still(library_still("bain-marie-100-3-plates"), {"TI-101": "91.2 Cel"}).startswith("<svg")
    True
    """
    shown = _shown(still, readings or {})
    numbers = resolve(still) if _resolvable(still) else None
    top = 186.0 if still.dephlegmator.conductance or still.dephlegmator.area else 158.0
    pot_top = top + column_height(still)
    parts = [
        draw_pot(still, numbers, pot_top),
        draw_column(still, numbers, top),
        draw_head(still, top),
        draw_condenser(still),
    ]
    places = {name: place for part in parts for name, place in part.places.items()}
    height = max(pot_top + POT_HEIGHT + 74.0, 470.0)
    bubbles, lowest = _bubbles(still, places, shown, height)
    height = max(height, lowest)
    body = [line for part in parts for line in part.svg]
    key = f"still-{zlib.crc32(still.name.encode()):08x}"
    wide, high = number(WIDTH), number(height)
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" class="still-drawing" viewBox="0 0 {wide} {high}" width="{wide}" '
            f'height="{high}" role="img" aria-labelledby="{key}-t {key}-d" font-family="sans-serif">',
            f'<title id="{key}-t">{words(still.name)}: schematic</title>',
            f'<desc id="{key}-d">{words(describe_still(still))}</desc>',
            f'<rect class="ground" width="{wide}" height="{high}" fill="{GROUND}"/>',
            *body,
            *bubbles,
            "</svg>",
        ]
    )


def describe_still(still: Still) -> str:
    """Say what the schematic shows, for those who do not see it.

    >>> from middlerun.still import library_still
    >>> describe_still(library_still("electric-pot-30"))[:53]
    'Pot of 30 L with electric heating of 3 kW. Plain head'
    """
    heating = still.heating
    said = [f"Pot of {litres(still.pot.volume)} with {heating.kind} heating of {kilowatts(heating.power)}."]
    if heating.kind in ("bain-marie", "steam-jacket"):
        has = {
            "vent": heating.vent,
            "relief valve": heating.relief_gauge is not None,
            "vacuum breaker": heating.vacuum_breaker,
        }
        said.append("Jacket: " + ", ".join(name if there else f"no {name}" for name, there in has.items()) + ".")
    if still.column is not None:
        kinds = ", ".join(sorted({plate.type for plate in still.column.plates})) or "no"
        bypassed = sum(plate.bypass for plate in still.column.plates)
        said.append(f"Column with {len(still.column.plates)} plates ({kinds}), {bypassed} of them with a bypass.")
    head = still.dephlegmator
    said.append("Dephlegmator," if head.conductance or head.area else "Plain head,")
    said.append("condenser, parrot open to the air, receiver.")
    if still.instruments:
        said.append("Instruments: " + ", ".join(f"{i.tag} {i.reads}" for i in still.instruments) + ".")
    return " ".join(said)


def _shown(still: Still, readings: Mapping[str, str | Shown]) -> dict[str, Shown]:
    tags = [instrument.tag for instrument in still.instruments]
    for tag in readings:
        if tag not in tags:
            hint = nearest(tag, tags) if tags else "It has no instruments."
            raise UnknownNameError(f'The still "{still.name}" has no instrument "{tag}". {hint}')
    return {tag: Shown(text=r) if isinstance(r, str) else r for tag, r in readings.items()}


def _resolvable(still: Still) -> bool:
    return still.column is None or all(plate.type in plate_type_names() for plate in still.column.plates)


def _bubbles(
    still: Still, places: Mapping[str, Point], shown: Mapping[str, Shown], height: float
) -> tuple[list[str], float]:
    """Place the bubbles at the edges in the order of what they measure, so that their lines do not cross."""
    sides: dict[str, list[tuple[Point, Instrument]]] = {"left": [], "right": [], "top": []}
    for instrument in still.instruments:
        part = instrument.reads.split(" ", 1)[0]
        side = "right" if part in _RIGHT_HAND else "top" if part == "head" else "left"
        # A reading of a part that this still does not have is drawn all the same, at the pot.
        sides[side].append((places.get(instrument.reads, places["pot temperature"]), instrument))
    svg: list[str] = []
    lowest = 0.0
    for side, x in (("left", _LEFT), ("right", _RIGHT)):
        rows = sorted(sides[side], key=lambda row: row[0][1])
        step = 68.0 if any(i.tag in shown for _, i in rows) else 50.0
        for (place, instrument), y in zip(rows, _spread([p[1] for p, _ in rows], step, height), strict=True):
            svg += _one(instrument, (x, y), place, shown.get(instrument.tag))
            lowest = max(lowest, y + step / 2 + 8)
    for i, (place, instrument) in enumerate(sides["top"]):
        svg += _one(instrument, (place[0] + 90.0 * i, _TOP), place, shown.get(instrument.tag), beside=True)
    return svg, lowest


def _spread(wanted: Iterable[float], step: float, height: float) -> list[float]:
    """Keep `step` between neighbours, as near as possible to where they are wanted, from the top edge down.

    >>> _spread([100.0, 110.0, 300.0], 50.0, 400.0)
    [80.0, 130.0, 300.0]
    """
    blocks: list[tuple[float, list[float]]] = []  # (centre, wanted), each block stacked at `step`
    for y in wanted:
        blocks.append((y, [y]))
        while len(blocks) > 1:
            (a, above), (b, below) = blocks[-2], blocks[-1]
            if a + step * (len(above) - 1) / 2 + step <= b - step * (len(below) - 1) / 2:
                break
            both = above + below
            low, high = _RADIUS + 6 + step * (len(both) - 1) / 2, height - _RADIUS - 20 - step * (len(both) - 1) / 2
            blocks[-2:] = [(max(min(sum(both) / len(both), high), low), both)]
    return [centre + step * (i - (len(ys) - 1) / 2) for centre, ys in blocks for i in range(len(ys))]


def _one(instrument: Instrument, at: Point, place: Point, shown: Shown | None, beside: bool = False) -> list[str]:
    match = _TAG.match(instrument.tag)
    letters, loop = match.groups() if match else (instrument.tag, "")
    abnormal = shown is not None and bool(shown.abnormal)
    svg = [
        lines(at, place, width=1.0, colour=THIN, kind="leader"),
        f'<circle class="leader" cx="{number(place[0])}" cy="{number(place[1])}" r="2.5" fill="{THIN}"/>',
        bubble(*at, letters, loop, radius=_RADIUS, abnormal=abnormal),
    ]
    if shown is None:
        return svg
    colour = {"colour": ABNORMAL} if abnormal else {}
    text = f"{shown.text} {shown.abnormal}".strip()
    x, y = (at[0] + _RADIUS + 8, at[1] + 5) if beside else (at[0], at[1] + _RADIUS + 15)
    if not beside:  # a long text stays on the drawing
        half = _LETTER * len(text) / 2.0 + 4.0
        x = min(max(x, half), WIDTH - half)
    svg.append(label(x, y, text, anchor="start" if beside else "middle", size=13, bold=abnormal, **colour))
    if abnormal:
        svg.append(warning_sign(at[0] + _RADIUS - 2, at[1] - _RADIUS + 4))
    return svg
