"""`middlerun still new`: a still file from what can be measured, given as options or asked for on a terminal."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from middlerun.cli.ask import ask_all
from middlerun.cli.guard import DONE, UsageError
from middlerun.cli.output import print_json, say, write_whole
from middlerun.fields import Spec, load_record, specs
from middlerun.still import Measurements, check_still, new_still, still_toml
from middlerun.units import format_quantity

_DEST = "measured_"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Give the command one option for each thing that can be measured."""
    for key, spec in specs(Measurements).items():
        option = f"--{key.replace('_', '-')}"
        if spec.form == "flag":
            parser.add_argument(option, dest=_DEST + key, action="store_true", help=_help(spec))
        else:
            parser.add_argument(option, dest=_DEST + key, metavar=_metavar(spec), help=_help(spec))


def new(arguments: argparse.Namespace) -> int:
    """Set up a still and write or print its file; what it derives and what `check` says of it is told, too."""
    given = dict(_given(arguments))
    path = Path(arguments.output) if arguments.output else None
    if path and path.exists() and not arguments.force:
        raise UsageError(f"{path} is already there and was left as it is. Choose another name, or add --force.")
    if not given and not arguments.json and sys.stdin.isatty():
        given = ask_all()
    if not given:
        raise UsageError(
            "Say what was measured, at least --name, --pot-volume, --heating-kind and --power. "
            "Read on with: middlerun still new --help"
        )
    still, derived = new_still(load_record(Measurements, given, "measurements"))
    text = still_toml(still, derived)
    findings = check_still(still)
    if path:
        write_whole(path, text, overwrite=arguments.force)
    if arguments.json:
        print_json(
            {
                "command": "still new",
                "written": path,
                "file": text,
                "derived": [asdict(d) for d in derived],
                "findings": [asdict(finding) for finding in findings],
            }
        )
        return DONE
    if not path:
        print(text, end="")
    for finding in findings:
        say(f"{finding.level}: {finding.where}: {finding.text}")
    if path:
        say(f"Wrote {path}. Derived values stand in it with their bands. Next: middlerun still check {path}")
    return DONE


def _given(arguments: argparse.Namespace) -> Iterator[tuple[str, Any]]:
    for key, spec in specs(Measurements).items():
        value = getattr(arguments, _DEST + key)
        if value is None or value is False:
            continue
        if spec.form == "whole":
            try:
                value = int(value)
            except ValueError:
                raise UsageError(
                    f"--{key.replace('_', '-')} is {value!r}: a whole number from {spec.low:g} to "
                    f"{spec.high:g} is expected."
                ) from None
        yield key, value


def _metavar(spec: Spec) -> str:
    if spec.form == "choice":
        return "{" + ",".join(spec.choices) + "}"
    return {"quantity": "QUANTITY", "whole": "N", "number": "NUMBER"}.get(spec.form, "TEXT")


def _help(spec: Spec) -> str:
    limits = ""
    if spec.form == "quantity":
        low, high = (format_quantity(value, spec.kind) for value in (spec.low, spec.high))
        limits = f" From {low} to {high}."
    elif spec.form == "whole":
        limits = f" From {spec.low:g} to {spec.high:g}."
    return f"{spec.doc}{limits}".replace("%", "%%")
