"""Command line: the words typed after `middlerun`, and what they print.

Takes: a list of words. Gives: an exit code (0 done, 1 a fault of the program, 2 something that the user can mend, 130
interrupted), tables or one JSON document on standard output, one paragraph on standard error when something is wrong.
Never: physics, drawing, or a traceback without MIDDLERUN_DEBUG=1. Commands import what they use when they are called.
"""

from middlerun.cli.guard import run

__all__ = ["run"]
