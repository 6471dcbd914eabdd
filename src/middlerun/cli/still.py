"""`middlerun still`: list, show, check, draw."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path

from middlerun.cli.findings import tell
from middlerun.cli.guard import DONE
from middlerun.cli.output import console, print_json, say, write_whole
from middlerun.fields import parse_toml
from middlerun.still import Still, check_still, find_still, library_names, library_still, library_text
from middlerun.units import from_si


def list_all(arguments: argparse.Namespace) -> int:
    """List the stills of the library: pot, heating, plates."""
    found = [(name, library_still(name)) for name in library_names()]
    if arguments.json:
        print_json({"command": "still list", "stills": [{"name": name, **_summary(still)} for name, still in found]})
        return DONE
    from middlerun.cli.tables import print_list

    rows = []
    for name, still in found:
        facts = _summary(still)
        plates = f"{facts['plates']} {facts['plate_type']}" if facts["plates"] else "none"
        rows.append((name, f"{facts['pot_litres']:g} L", f"{facts['heating']}, {facts['kilowatts']:g} kW", plates))
    print_list(
        console(),
        "Stills of the library (invented; copy one and change it)",
        ("name", "pot", "heating", "plates"),
        rows,
    )
    return DONE


def show(arguments: argparse.Namespace) -> int:
    """Print a still as the file that describes it; with --json also every number that the engine takes from it."""
    still = find_still(arguments.name)
    text = library_text(arguments.name) if arguments.name in library_names() else _read(arguments.name)
    if not arguments.json:
        print(text, end="" if text.endswith("\n") else "\n")
        return DONE
    from middlerun.still import resolve

    print_json(
        {
            "command": "still show",
            "name": arguments.name,
            "file": parse_toml(text, arguments.name),
            "resolved": asdict(resolve(still)),
        }
    )
    return DONE


def check(arguments: argparse.Namespace) -> int:
    """Say what is wrong, unlikely or worth knowing about a still, with the usual range and its source."""
    found = check_still(find_still(arguments.name))
    return tell("still check", arguments.name, found, as_json=arguments.json)


def draw(arguments: argparse.Namespace) -> int:
    """Draw a still as SVG: into a file, or on standard output."""
    from middlerun.still import draw_still

    picture = draw_still(find_still(arguments.name))
    written = None
    if arguments.output:
        written = Path(arguments.output)
        write_whole(written, picture)
    if arguments.json:
        print_json(
            {"command": "still draw", "name": arguments.name, "written": written, "svg": None if written else picture}
        )
    elif written:
        say(f"Wrote {written}.")
    else:
        print(picture)
    return DONE


def _summary(still: Still) -> dict[str, object]:
    plates = still.column.plates if still.column else ()
    return {
        "title": still.name,
        "invented": still.invented,
        "pot_litres": round(from_si(still.pot.volume, "L", "volume"), 3),
        "heating": still.heating.kind,
        "kilowatts": round(from_si(still.heating.power, "kW", "power"), 3),
        "plates": len(plates),
        "plate_type": plates[0].type if plates else "",
        "note": still.note,
    }


def _read(path: str) -> str:
    return Path(path).read_text(encoding="utf-8")
