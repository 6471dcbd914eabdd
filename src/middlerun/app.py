"""The one starter: `middlerun ...` at the command line begins here."""

from __future__ import annotations

import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; `argv` defaults to the words after the program's name.

    >>> main(["version"])
    Middlerun 0.1.0
    0
    """
    from middlerun.cli import run

    return run(sys.argv[1:] if argv is None else list(argv))


if __name__ == "__main__":
    sys.exit(main())
