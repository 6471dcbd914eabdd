"""Between a command and the outside: errors become one paragraph or one JSON document, and an exit code."""

from __future__ import annotations

import os
import sys
import traceback

from middlerun.cli.output import print_json, say
from middlerun.errors import MiddlerunError

DONE = 0
FAULT = 1  # of the program
REFUSED = 2  # something that the user can mend
INTERRUPTED = 130  # 128 + SIGINT, as shells count it
PIPE_CLOSED = 141  # 128 + SIGPIPE


class UsageError(MiddlerunError):
    """The words of a command make no sense; the message says which and where to read on."""


def run(argv: list[str]) -> int:
    """Run one command line and return its exit code. Nothing but KeyboardInterrupt's code and messages leaves here.

    argv: the words after the program's name. Exit codes: see the constants of this module.
    """
    as_json = "--json" in argv
    try:
        code = _dispatch(argv)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        return _tell(as_json, "Interrupted", "Interrupted; nothing was written.", INTERRUPTED)
    except BrokenPipeError:
        return _pipe_closed()
    except MiddlerunError as error:
        _show_traceback()
        return _tell(as_json, type(error).__name__, str(error), REFUSED)
    except MemoryError:
        message = "There is not enough memory for this. Ask for fewer runs, or write results less often with --every."
        return _tell(as_json, "MemoryError", message, FAULT)
    except OSError as error:
        _show_traceback()
        place = f"{error.filename}: " if error.filename else ""
        message = f"{place}{error.strerror or error}. Check the path, the rights on it and the room on the disk."
        return _tell(as_json, "FileError", message, REFUSED)
    except Exception as error:
        _show_traceback()
        message = (
            f"Middlerun has a fault: {type(error).__name__}: {error}. This is not your doing. "
            "Set MIDDLERUN_DEBUG=1 to see where, and report it with the plan."
        )
        return _tell(as_json, "InternalError", message, FAULT)


def _dispatch(argv: list[str]) -> int:
    from middlerun.cli.parser import build_parser

    arguments = build_parser(argv).parse_args(argv)
    code: int = arguments.command(arguments)
    return code


def _tell(as_json: bool, kind: str, message: str, code: int) -> int:
    paragraph = " ".join(message.split())
    try:
        if as_json:
            print_json({"error": {"kind": kind, "message": paragraph, "exit_code": code}})
        else:
            say(paragraph)
        sys.stdout.flush()
    except BrokenPipeError:
        return _pipe_closed()
    return code


def _show_traceback() -> None:
    if os.environ.get("MIDDLERUN_DEBUG", "") not in ("", "0"):
        traceback.print_exc()


def _pipe_closed() -> int:
    # The reader (head, less) has gone. Python would complain again while it flushes at exit.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return PIPE_CLOSED
