"""The one starter: `middlerun ...` at the command line begins here."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress

__all__ = ["main"]

_INTERRUPTED = 130  # 128 + SIGINT, as shells count it


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; `argv` defaults to the words after the program's name.

    >>> main(["version"])
    Middlerun 0.1.0
    0
    """
    try:
        from middlerun.cli import run

        code = run(sys.argv[1:] if argv is None else list(argv))
    except KeyboardInterrupt:  # while the command was still being loaded
        code = _INTERRUPTED
    if argv is None and code == _INTERRUPTED:
        _leave(code)
    return code


def _leave(code: int) -> None:
    """End at once. Python would wait for worker threads, or end by signal if exec() was interrupted."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError):
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    sys.exit(main())
