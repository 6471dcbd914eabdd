"""`middlerun procedure`: list, show, check."""

from __future__ import annotations

import argparse
from importlib.resources import files
from pathlib import Path

from middlerun.cli.findings import tell
from middlerun.cli.guard import DONE
from middlerun.cli.output import console, print_json
from middlerun.fields import parse_toml, unusual
from middlerun.run import find_procedure, library_procedure, procedure_names


def list_all(arguments: argparse.Namespace) -> int:
    """List the ready procedures with the kind of still they need and their phases."""
    found = [(name, library_procedure(name)) for name in procedure_names()]
    if arguments.json:
        print_json(
            {
                "command": "procedure list",
                "procedures": [
                    {
                        "name": name,
                        "title": one.name,
                        "needs": one.needs,
                        "note": one.note,
                        "phases": [phase.name for phase in one.phases],
                    }
                    for name, one in found
                ],
            }
        )
        return DONE
    from middlerun.cli.tables import print_list

    print_list(
        console(),
        "Ready procedures",
        ("name", "needs", "phases"),
        [(name, one.needs, ", ".join(phase.name for phase in one.phases)) for name, one in found],
    )
    return DONE


def show(arguments: argparse.Namespace) -> int:
    """Print a procedure as the file that describes it."""
    find_procedure(arguments.name)  # refuses what is not one
    path = Path(arguments.name)
    source = path if arguments.name.endswith(".toml") else files("middlerun.run") / "procedures" / f"{path.name}.toml"
    text = source.read_text(encoding="utf-8")
    if arguments.json:
        print_json({"command": "procedure show", "name": arguments.name, "file": parse_toml(text, arguments.name)})
    else:
        print(text, end="")
    return DONE


def check(arguments: argparse.Namespace) -> int:
    """Say what is unlikely in a procedure; what is wrong is raised as an error."""
    procedure = find_procedure(arguments.name)
    return tell("procedure check", arguments.name, list(unusual(procedure, "")), as_json=arguments.json)
