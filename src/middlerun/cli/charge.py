"""`middlerun charge`: the kinds of charge that a plan can name."""

from __future__ import annotations

import argparse
from dataclasses import asdict

from middlerun.cli.guard import DONE
from middlerun.cli.output import console, print_json
from middlerun.plan import charge_kind, charge_kind_names


def list_all(arguments: argparse.Namespace) -> int:
    """List the kinds of charge with their usual strength and froth allowance."""
    found = [(name, charge_kind(name)) for name in charge_kind_names()]
    if arguments.json:
        print_json({"command": "charge list", "charges": [{"name": name, **asdict(kind)} for name, kind in found]})
        return DONE
    from middlerun.cli.tables import print_list

    print_list(
        console(),
        "Kinds of charge",
        ("name", "what", "usual strength", "froth allowance"),
        [
            (
                name,
                kind.title,
                f"{100 * kind.strength.low:g} to {100 * kind.strength.high:g} % vol",
                f"{100 * kind.froth.value:g} % of the hot volume",
            )
            for name, kind in found
        ],
    )
    return DONE
