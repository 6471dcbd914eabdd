"""The words that `middlerun` understands. Building this imports no other room, so that `--help` answers at once."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from importlib import import_module
from typing import Any, NoReturn

from middlerun import __version__
from middlerun.cli.guard import UsageError
from middlerun.fields import nearest

_WRONG_CHOICE = re.compile(r"argument COMMAND: invalid choice: '(.*?)' \(.*?choose from (.*)\)", re.DOTALL)
Command = Callable[[argparse.Namespace], int]
_EPILOG = (
    "Software is not a safety device. A still makes flammable vapour: never leave it, and follow the local code and "
    "the licence."
)


class Parser(argparse.ArgumentParser):
    """An argument parser that raises instead of exiting, so that `--json` holds for mistakes in the words too."""

    def __init__(self, **options: Any) -> None:
        """Make a parser that takes no shortened options: a word means the same in every version."""
        super().__init__(allow_abbrev=False, **options)

    def error(self, message: str) -> NoReturn:
        """Raise UsageError with the message and where to read on."""
        wrong = _WRONG_CHOICE.search(message)
        if wrong is not None:
            known = [word.strip("' ") for word in wrong[2].split(",")]
            message = f'"{wrong[1]}" is not a command. {nearest(wrong[1], known)}'
        elif message == "the following arguments are required: COMMAND":
            message = f"say which command after {self.prog}."
        sentence = f"{message[:1].upper()}{message[1:]}"
        stop = "" if sentence.endswith((".", "?")) else "."
        raise UsageError(f"{sentence}{stop} Read on with: {self.prog} --help")


def build_parser(words: list[str] | None = None) -> Parser:
    """Return the parser of all commands; `arguments.command` is the function to call.

    words: the words that are going to be parsed; options that they can't need are then left out.

    >>> build_parser().parse_args(["still", "list", "--json"]).json
    True
    """
    parser = Parser(
        prog="middlerun", description="Predict a whole batch distillation run of your own still.", epilog=_EPILOG
    )
    parser.add_argument("--version", action="version", version=f"Middlerun {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)
    _predict(commands)
    _compare(commands)
    _plan(commands)
    _still(commands, questions=words is None or words[:2] == ["still", "new"])
    _library(commands, "procedure", "ready procedures, and check your own")
    _charge(commands)
    _law(commands)
    _prepare(commands)
    return parser


def _predict(commands: Any) -> None:
    parser = _command(commands, "predict", "predict:predict", "predict the run that a plan describes")
    parser.add_argument("plan", metavar="PLAN", help="plan file (TOML)")
    parser.add_argument("--out", metavar="DIR", help="write run sheet, plots, series and JSON into this folder")
    parser.add_argument("--every", metavar="TIME", help='time between rows of the series, such as "10 s" or "1 min"')


def _compare(commands: Any) -> None:
    parser = _command(commands, "compare", "compare:compare", "run one plan over a table of settings")
    parser.add_argument("plan", metavar="PLAN", help="plan file (TOML)")
    parser.add_argument(
        "--set",
        metavar="KEY=VALUES",
        action="append",
        default=[],
        dest="settings",
        help='vary one setting by itself, such as "weather.water=8 Cel,16 Cel"; may be given again',
    )
    parser.add_argument(
        "--grid",
        metavar="SETTINGS",
        action="append",
        default=[],
        dest="grids",
        help='run every combination, such as "heater=4 kW,5 kW; weather.water=8 Cel,16 Cel"',
    )
    parser.add_argument("--out", metavar="DIR", help="write the table (CSV, JSON) and the picture into this folder")


def _plan(commands: Any) -> None:
    group = _group(commands, "plan", "check plans")
    parser = _command(group, "check", "plan:check", "say what is wrong or unlikely in a plan, without running it")
    parser.add_argument("plan", metavar="FILE", help="plan file (TOML)")


def _still(commands: Any, *, questions: bool) -> None:
    group = _library(commands, "still", "stills of the library, and describe your own")
    parser = _command(group, "draw", "still:draw", "draw a schematic with ISA-5.1 tags as SVG")
    parser.add_argument("name", metavar="NAME_OR_FILE", help="still of the library, or a still file")
    parser.add_argument("-o", "--output", metavar="FILE", help="SVG file to write; without it the SVG is printed")
    parser = _command(group, "new", "still_new:new", "set up a still file from what can be measured")
    parser.add_argument("-o", "--output", metavar="FILE", help="still file to write; without it the file is printed")
    parser.add_argument("--force", action="store_true", help="replace the file when it is already there")
    if questions:  # they come from another room, which takes a while to load
        from middlerun.cli.still_new import add_options

        add_options(parser)


def _library(commands: Any, kind: str, words: str) -> Any:
    group = _group(commands, kind, words)
    _command(group, "list", f"{kind}:list_all", f"list every {kind} in the library")
    parser = _command(group, "show", f"{kind}:show", f"print a {kind} as the file that describes it")
    parser.add_argument("name", metavar="NAME_OR_FILE", help=f"{kind} of the library, or a {kind} file")
    parser = _command(group, "check", f"{kind}:check", "say what is wrong or unlikely, in words")
    parser.add_argument("name", metavar="NAME_OR_FILE", help=f"{kind} of the library, or a {kind} file")
    return group


def _law(commands: Any) -> None:
    group = _group(commands, "law", "legal categories of spirits and their limits")
    _command(group, "list", "law:list_all", "list every category with its ceiling of strength")


def _charge(commands: Any) -> None:
    group = _group(commands, "charge", "kinds of charge")
    _command(group, "list", "charge:list_all", "list every kind of charge with its usual strength")


def _prepare(commands: Any) -> None:
    _command(commands, "prepare", "prepare:prepare", "compile the model now (else the first prediction does it)")
    _command(commands, "version", "prepare:version", "print the version")


def _group(commands: Any, name: str, words: str) -> Any:
    parser = commands.add_parser(name, help=words, description=f"{words[:1].upper()}{words[1:]}.")
    return parser.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)


def _command(group: Any, name: str, target: str, words: str) -> Any:
    parser = group.add_parser(name, help=words, description=f"{words[:1].upper()}{words[1:]}.", epilog=_EPILOG)
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")
    parser.set_defaults(command=_deferred(target))
    return parser


def _deferred(target: str) -> Command:
    """Return a function that imports `module:function` of this room only when it is called."""
    module, name = target.split(":")

    def call(arguments: argparse.Namespace) -> int:
        code: int = getattr(import_module(f"middlerun.cli.{module}"), name)(arguments)
        return code

    return call
