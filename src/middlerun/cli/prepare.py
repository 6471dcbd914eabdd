"""`middlerun prepare` and `middlerun version`."""

from __future__ import annotations

import argparse
import time

import middlerun
from middlerun.cli.guard import DONE
from middlerun.cli.output import print_json
from middlerun.cli.waiting import preparing


def prepare(arguments: argparse.Namespace) -> int:
    """Compile the model, by predicting a small run of a library still; quick when that has been done before."""
    began = time.perf_counter()
    with preparing():
        from middlerun.plan import Charge, Plan, predict
        from middlerun.run import library_procedure
        from middlerun.still import library_still

        still, procedure = library_still("bain-marie-100-3-plates"), library_procedure("stripping-run")
        predict(Plan(name="prepare", still=still, procedure=procedure, charge=Charge(volume=0.05, strength=0.1)))
    seconds = time.perf_counter() - began
    if arguments.json:
        print_json({"command": "prepare", "seconds": round(seconds, 3)})
    else:
        print(f"The model is ready ({seconds:.1f} s).")
    return DONE


def version(arguments: argparse.Namespace) -> int:
    """Print the version."""
    if arguments.json:
        print_json({"command": "version", "version": middlerun.__version__})
    else:
        print(f"Middlerun {middlerun.__version__}")
    return DONE
