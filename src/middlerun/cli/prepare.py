"""`middlerun prepare` and `middlerun version`."""

from __future__ import annotations

import argparse

import middlerun
from middlerun.cli.guard import DONE
from middlerun.cli.output import print_json


def version(arguments: argparse.Namespace) -> int:
    """Print the version."""
    if arguments.json:
        print_json({"command": "version", "version": middlerun.__version__})
    else:
        print(f"Middlerun {middlerun.__version__}")
    return DONE
