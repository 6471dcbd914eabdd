"""Pot, jacket, column, head, condenser and parrot of the schematic. Each gives its SVG and the places to measure at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from middlerun.still.description import Plate, Still
from middlerun.still.draw_shapes import (
    ABNORMAL,
    GROUND,
    INK,
    LIQUID_FILL,
    METAL_FILL,
    THIN,
    Point,
    arrow,
    box,
    flame,
    heating_element,
    label,
    lines,
    number,
    path,
    relief_valve,
    vacuum_breaker,
    valve,
    warning_sign,
)
from middlerun.still.plate_type import plate_type, plate_type_names
from middlerun.still.resolve import StillNumbers
from middlerun.units import format_quantity

AXIS = 270.0  # x of pot and column
COOLER = 610.0  # x of the condenser
PIPE = 92.0  # y of the vapour pipe
PLATE_STEP = 38.0
HALF_COLUMN = 42.0
HALF_POT = 92.0
POT_HEIGHT = 150.0
JACKET_GAP = 20.0


@dataclass
class Part:
    """SVG of a part, and where its readings are taken."""

    svg: list[str] = field(default_factory=list)
    places: dict[str, Point] = field(default_factory=dict)


def litres(volume: float) -> str:
    """Write a volume in litres.

    >>> litres(0.0005)
    '0.5 L'
    """
    return format_quantity(volume, "volume", "L", digits=4 if volume >= 1.0 else 3)


def kilowatts(power: float) -> str:
    """Write a power in kilowatts."""
    return format_quantity(power, "power", "kW", digits=3)


def draw_head(still: Still, bottom: float) -> Part:
    """Draw what is on top, from the vapour pipe down to y = `bottom`, with the pipe to the condenser."""
    part = Part()
    pipe = f"M{number(AXIS)} 112 L{number(AXIS)} {number(PIPE)} L{number(COOLER)} {number(PIPE)} L{number(COOLER)} 132"
    part.svg += [path(pipe, width=12), path(pipe, width=8, colour=METAL_FILL, kind="metal")]
    part.places["head temperature"] = (AXIS + 70.0, PIPE - 6.0)
    head = still.dephlegmator
    if head.conductance or head.area:
        _dephlegmator(still, part, bottom)
    else:
        d = f"M{number(AXIS - 34)} {number(bottom)} Q{number(AXIS - 34)} 122 {number(AXIS - 6)} 112"
        d += f" L{number(AXIS + 6)} 112 Q{number(AXIS + 34)} 122 {number(AXIS + 34)} {number(bottom)} Z"
        part.svg += [path(d, fill=METAL_FILL, kind="metal"), label(AXIS - 46, 142, "Plain head", anchor="end")]
    return part


def _dephlegmator(still: Still, part: Part, bottom: float) -> None:
    left, top, height = AXIS - 55.0, 112.0, 66.0
    part.svg.append(box(left, top, 110, height))
    for i in range(7):
        x = left + 16 + i * 13
        part.svg.append(lines((x, top + 8), (x, top + height - 8), width=1.2, colour=THIN))
    if bottom > top + height:
        part.svg.append(box(AXIS - 20, top + height, 40, bottom - top - height, corner=0))
    out, into = top + 12.0, top + height - 12.0
    part.svg += [
        lines((left, out), (120, out)),
        arrow(120, out, "left"),
        label(left - 8, out - 6, "water out", anchor="end"),
    ]
    part.svg += [lines((120, into), (left, into)), arrow(left, into, "right"), valve(185, into)]
    part.svg += [label(168, into + 18, "water in", anchor="end"), label(AXIS + 62, top + 30, "Dephlegmator")]
    flow = still.dephlegmator.water_max
    if flow > 0.0:
        part.svg.append(
            label(AXIS + 62, top + 47, f"to {format_quantity(flow, 'volume flow rate', digits=4)}", size=12)
        )
    part.places["dephlegmator water out"] = (150.0, out)
    part.places["dephlegmator water flow"] = (150.0, into)


def draw_column(still: Still, numbers: StillNumbers | None, top: float) -> Part:
    """Draw the column from y = `top` down, the last plate at the top."""
    part = Part()
    column = still.column
    if column is None:
        return part
    height = column_height(still)
    part.svg.append(box(AXIS - HALF_COLUMN, top, 2 * HALF_COLUMN, height))
    if column.insulated:
        for side in (-1, 1):
            x = AXIS + side * (HALF_COLUMN + 6)
            part.svg.append(lines((x, top + 2), (x, top + height - 2), width=1.5, colour=THIN, dash="2 4"))
    count = len(column.plates)
    for i, plate in enumerate(column.plates):
        y = top + (count - i) * PLATE_STEP - 6.0
        level = numbers.plates[i].level if numbers is not None else plate.level
        part.svg += _plate(plate, i, y)
        text = f"{i + 1}" if level is None else f"{i + 1}:  {litres(level)}"
        part.svg.append(label(AXIS - HALF_COLUMN - 12, y, text, anchor="end", size=12))
    return part


def column_height(still: Still) -> float:
    """Return the height of the column in the drawing; 0 without one."""
    return 0.0 if still.column is None else max(len(still.column.plates), 1) * PLATE_STEP + 10.0


def _plate(plate: Plate, index: int, y: float) -> list[str]:
    """One plate: sheet, contact devices, weir with overflow pipe (sides in turn), liquid, bypass."""
    side = 1 if index % 2 else -1
    weir = AXIS + side * (HALF_COLUMN - 16)
    far = AXIS - side * HALF_COLUMN
    kind = plate_type(plate.type).drawn_as if plate.type in plate_type_names() else "holes"
    start, end = min(weir, far), max(weir, far)
    svg = [lines((start, y - 9), (end, y - 9), width=1.0, colour=THIN)]
    svg.append(lines((start, y), (end, y), width=2, dash="7 4" if kind == "holes" else ""))
    svg.append(lines((weir, y - 10), (weir, y + 14), width=2))
    first = start + 8
    if kind == "caps":
        svg += [path(f"M{number(first + i * 18)} {number(y)} v-2 a5 5 0 0 1 10 0 v2", width=1.5) for i in range(3)]
    elif kind == "tunnels":
        svg += [path(f"M{number(first + i * 28)} {number(y)} v-6 h20 v6", width=1.5) for i in range(2)]
    if plate.bypass:
        x = AXIS + HALF_COLUMN + 22
        points = ((AXIS + HALF_COLUMN, y + 9), (x, y + 9), (x, y - 21), (AXIS + HALF_COLUMN, y - 21))
        svg += [lines(*points, width=1.5), valve(x, y - 6, upright=True)]
    return svg


def draw_pot(still: Still, numbers: StillNumbers | None, top: float) -> Part:
    """Draw pot and heating; the neck of the pot begins at y = `top`."""
    part = Part()
    shoulder, bottom = top + 46.0, top + POT_HEIGHT
    if still.heating.kind in ("bain-marie", "steam-jacket"):
        _jacket(still, part, shoulder, bottom)
    part.svg.append(_pot_body(top, shoulder, bottom))
    level = top + 84.0
    d = f"M{number(AXIS - HALF_POT)} {number(level)} H{number(AXIS + HALF_POT)} V{number(bottom - 34)}"
    d += f" q0 34 -34 34 H{number(AXIS - HALF_POT + 34)} q-34 0 -34 -34 Z"
    part.svg.append(path(d, fill=LIQUID_FILL, width=1.2, kind="liquid"))
    if still.pot.agitator:
        part.svg += _agitator(top, bottom)
    part.svg += [
        label(AXIS + 14, level - 22, f"Pot {litres(still.pot.volume)}", anchor="middle", bold=True),
        label(AXIS + 14, level - 7, f"at most {litres(still.pot.working_max)} hot", anchor="middle", size=12),
        label(AXIS + 14, level + 19, f"at least {litres(still.pot.working_min)}", anchor="middle", size=12),
    ]
    part.places["pot temperature"] = (AXIS - HALF_POT, level + 16.0)
    part.places["pot pressure"] = (AXIS - HALF_POT + 12.0, shoulder - 8.0)
    _heat_source(still, part, bottom)
    return part


def _pot_body(top: float, shoulder: float, bottom: float) -> str:
    half_neck = 34.0
    d = f"M{number(AXIS - half_neck)} {number(top)} C{number(AXIS - half_neck)} {number(top + 22)}"
    d += f" {number(AXIS - HALF_POT)} {number(top + 18)} {number(AXIS - HALF_POT)} {number(shoulder)}"
    d += f" V{number(bottom - 34)} q0 34 34 34 H{number(AXIS + HALF_POT - 34)} q34 0 34 -34 V{number(shoulder)}"
    d += f" C{number(AXIS + HALF_POT)} {number(top + 18)} {number(AXIS + half_neck)} {number(top + 22)}"
    d += f" {number(AXIS + half_neck)} {number(top)} Z"
    return path(d, fill=METAL_FILL, kind="metal")


def _agitator(top: float, bottom: float) -> list[str]:
    foot = (AXIS - 48.0, bottom - 24.0)
    return [
        lines((AXIS - 72, top + 18), foot, width=2),
        lines((foot[0] - 14, foot[1] + 3), (foot[0] + 14, foot[1] - 3), width=3),
        f'<circle class="metal" cx="{number(AXIS - 74)}" cy="{number(top + 12)}" r="9" fill="{GROUND}" stroke="{INK}" '
        'stroke-width="1.5"/>',
        label(AXIS - 74, top + 16, "M", anchor="middle", size=11),
    ]


def _jacket(still: Still, part: Part, shoulder: float, bottom: float) -> None:
    half, low, high = HALF_POT + JACKET_GAP, bottom + JACKET_GAP + 8.0, shoulder + 8.0
    d = f"M{number(AXIS - HALF_POT)} {number(high)} H{number(AXIS - half)} V{number(low - 40)} q0 40 40 40"
    d += f" H{number(AXIS + half - 40)} q40 0 40 -40 V{number(high)} H{number(AXIS + HALF_POT)}"
    part.svg.append(path(d, fill=GROUND, kind="metal"))
    part.places["jacket temperature"] = (AXIS - half, bottom - 24.0)
    part.places["jacket pressure"] = (AXIS - half, high + 18.0)
    heating = still.heating
    trunk, first = AXIS + half + 24.0, high + 2.0
    fittings: Mapping[str, tuple[bool, str, str]] = {
        "vent": (heating.vent, "vent", ""),
        "relief": (
            heating.relief_gauge is not None,
            "relief valve",
            "" if heating.relief_gauge is None else f"{heating.relief_gauge / 1e5:.2g} bar gauge",
        ),
        "breaker": (heating.vacuum_breaker, "vacuum breaker", ""),
    }
    part.svg.append(lines((AXIS + half, first + 14), (trunk, first + 14), width=1.8))
    part.svg.append(lines((trunk, first), (trunk, first + 76), width=1.8))
    for i, (name, (present, words, more)) in enumerate(fittings.items()):
        y = first + 38.0 * i
        x = trunk + 22.0
        if not present:
            part.svg += [warning_sign(x, y), label(x + 16, y + 4, f"no {words}", colour=ABNORMAL, bold=True)]
            continue
        part.svg.append(lines((trunk, y), (x + 14, y), width=1.8))
        part.svg.append({"vent": valve, "relief": relief_valve, "breaker": vacuum_breaker}[name](x, y))
        part.svg.append(arrow(x + 16, y, "right") if name != "breaker" else "")
        part.svg.append(label(x + 22, y + 4, words, size=12))
        if more:
            part.svg.append(label(x + 22, y + 18, more, size=12))


def _heat_source(still: Still, part: Part, bottom: float) -> None:
    heating, words = still.heating, kilowatts(still.heating.power)
    if heating.kind == "bain-marie":
        y = bottom + 14.0
        for side in (-1, 1):  # the water's surface in the jacket
            x = AXIS + side * (HALF_POT + JACKET_GAP / 2)
            part.svg.append(lines((x - 9, bottom - 56), (x + 9, bottom - 56), width=1.2))
        part.svg.append(heating_element(AXIS - 60, y, 120))
        water = "" if heating.jacket_water is None else f", {heating.jacket_water:.4g} kg of water"
        part.svg.append(label(AXIS, bottom + 48, f"Bain-marie {words}{water}", anchor="middle"))
        part.places["heater power"] = (AXIS - 60.0, y)
    elif heating.kind == "steam-jacket":
        y, edge = bottom + 6.0, AXIS - HALF_POT - JACKET_GAP + 16.0
        part.svg += [
            lines((118, y), (edge, y)),
            arrow(edge, y, "right"),
            valve(140, y),
            label(118, y + 20, "steam", size=12),
        ]
        gauge = "" if heating.steam_gauge is None else f", {heating.steam_gauge / 1e5:.2g} bar gauge"
        part.svg.append(lines((AXIS, bottom + 28), (AXIS, bottom + 40)))
        part.svg.append(arrow(AXIS, bottom + 42, "down"))
        part.svg.append(label(AXIS + 12, bottom + 43, "condensate", size=12))
        part.svg.append(label(AXIS, bottom + 60, f"Steam jacket {words}{gauge}", anchor="middle"))
        part.places["heater power"] = (122.0, y)
    elif heating.kind == "electric":
        y = bottom - 14.0
        part.svg.append(heating_element(AXIS - 55, y, 110))
        part.svg.append(label(AXIS, bottom + 22, f"Electric elements {words}", anchor="middle"))
        part.places["heater power"] = (AXIS - 55.0, y)
    else:
        y = bottom + 34.0
        part.svg += [flame(AXIS - 48 + 24 * i, y) for i in range(5)]
        part.svg.append(lines((AXIS - 66, y + 2), (AXIS + 66, y + 2), width=3))
        part.svg.append(label(AXIS, bottom + 58, f"Direct fire {words}", anchor="middle"))
        part.places["heater power"] = (AXIS - 66.0, y + 2)


def draw_condenser(still: Still) -> Part:
    """Draw the product condenser, the open way to the air, the parrot and the receiver."""
    part = Part()
    left, top, height = COOLER - 36.0, 132.0, 130.0
    part.svg.append(box(left, top, 72, height))
    turns = [(COOLER + (20 if i % 2 else -20), top + 14 + i * 11.0) for i in range(10)]
    part.svg.append(lines((COOLER, top), *turns, (COOLER, top + height), width=1.5, colour=THIN))
    right, out, into = left + 72.0, top + 16.0, top + height - 16.0
    part.svg += [
        lines((right, out), (690, out)),
        arrow(692, out, "right"),
        label(right + 4, out - 7, "water out", size=12),
    ]
    part.svg += [lines((690, into), (right, into)), arrow(right, into, "left"), valve(672, into)]
    part.svg += [label(right + 4, into + 19, "water in", size=12)]
    part.svg += [label(left - 10, top + 60, "Condenser", anchor="end")]
    flow = format_quantity(still.condenser.water_max, "volume flow rate", digits=4)
    part.svg.append(label(left - 10, top + 77, f"to {flow}", anchor="end", size=12))
    part.places["condenser water out"] = (690.0, out)
    part.places["condenser water flow"] = (690.0, into)
    _parrot(still, part, top + height)
    return part


def _parrot(still: Still, part: Part, top: float) -> None:
    """Below the condenser: a stub open to the air, the parrot with its alcoholmeter, a receiver."""
    y = top + 22.0
    part.svg += [
        lines((COOLER, top), (COOLER, top + 58), width=2),
        lines((COOLER, y), (COOLER + 28, y), (COOLER + 28, y - 6), width=2),
        arrow(COOLER + 28, y - 13, "up"),
        label(COOLER + 38, y + 12, "open to the air", size=12),
    ]
    vessel = top + 58.0
    part.svg += [
        box(COOLER - 13, vessel, 26, 62, corner=3),
        path(
            f"M{number(COOLER - 12)} {number(vessel + 14)} h24 v44 q0 3 -3 3 h-18 q-3 0 -3 -3 Z",
            fill=LIQUID_FILL,
            width=0,
            kind="liquid",
        ),
        lines((COOLER + 3, vessel - 16), (COOLER + 3, vessel + 34), width=1.5),
        f'<ellipse class="ink" cx="{number(COOLER + 3)}" cy="{number(vessel + 40)}" rx="4" ry="8" fill="{GROUND}" '
        f'stroke="{INK}" stroke-width="1.5"/>',
        label(COOLER - 22, vessel + 32, "Parrot", anchor="end"),
        label(COOLER - 22, vessel + 49, litres(still.parrot.volume), anchor="end", size=12),
        lines((COOLER + 13, vessel + 16), (COOLER + 34, vessel + 16), (COOLER + 34, vessel + 80), width=2),
        arrow(COOLER + 34, vessel + 84, "down"),
        path(f"M{number(COOLER + 8)} {number(vessel + 78)} v46 q0 6 6 6 h40 q6 0 6 -6 v-46", width=2),
        label(COOLER, vessel + 112, "Receiver", anchor="end"),
    ]
    part.places["product strength"] = (COOLER + 13.0, vessel + 32.0)
    part.places["product temperature"] = (COOLER + 13.0, vessel + 52.0)
