"""`middlerun law`: the legal categories that a plan can name."""

from __future__ import annotations

import argparse
from dataclasses import asdict

from middlerun.cli.guard import DONE
from middlerun.cli.output import console, print_json
from middlerun.law import category, category_ids


def list_all(arguments: argparse.Namespace) -> int:
    """List every category: its id, name, ceiling of strength and clause."""
    found = [(name, category(name)) for name in category_ids()]
    if arguments.json:
        print_json({"command": "law list", "categories": [{"id": name, **asdict(one)} for name, one in found]})
        return DONE
    from middlerun.cli.tables import print_list

    print_list(
        console(),
        "Categories, and the strength below which each is distilled",
        ("id", "distilled below", "law"),
        [(name, f"{100 * one.distilled_below:g} % vol", f"{one.law}, {one.clause}") for name, one in found],
    )
    print("\nThese are figures from the texts named, as of the dates named. The law in force decides.")
    return DONE
