"""The errors that Middlerun raises at its users, and the codes of its warnings' texts.

Takes: nothing. Gives: one tree of exceptions; every message names the value, its unit, the allowed range and a remedy.
Never: prints, logs, or imports another room.
"""

from __future__ import annotations

__all__ = [
    "MiddlerunError",
    "OutOfRangeError",
    "UnitError",
    "InputFileError",
    "UnknownKeyError",
    "MissingKeyError",
    "UnknownNameError",
    "FormatVersionError",
    "PlanError",
    "ProcedureError",
    "NeverEndsError",
    "SolverError",
]


class MiddlerunError(Exception):
    """Any error that a user can mend or must know of. The message is one paragraph of plain words."""


class OutOfRangeError(MiddlerunError, ValueError):
    """A number lies outside the range in which it has a meaning here."""

    @classmethod
    def of(
        cls, what: str, value: object, low: object, high: object, unit: str = "", remedy: str = ""
    ) -> OutOfRangeError:
        """Build the message from its parts.

        >>> str(OutOfRangeError.of("pressure", 3.0, 20, 120, "kPa", "Give the absolute pressure of the day."))
        'pressure is 3.0 kPa, outside 20 to 120 kPa. Give the absolute pressure of the day.'
        """
        suffix = f" {unit}" if unit else ""
        text = f"{what} is {value}{suffix}, outside {low} to {high}{suffix}."
        return cls(f"{text} {remedy}".strip())


class UnitError(MiddlerunError, ValueError):
    """A quantity has no unit, an unknown one, or one of the wrong kind."""


class InputFileError(MiddlerunError):
    """A file can't be read: missing, truncated, not the expected syntax."""


class UnknownKeyError(InputFileError):
    """A file holds a key that means nothing there; the message names the nearest right one."""


class MissingKeyError(InputFileError):
    """A file lacks a key that has no default."""


class UnknownNameError(MiddlerunError, LookupError):
    """A name (still, procedure, mash, category) is not in the library; the message names the nearest."""


class FormatVersionError(InputFileError):
    """A file says that it is of another format, or of a version newer than this program."""


class PlanError(MiddlerunError, ValueError):
    """A plan is outside physical or safe sense and is refused."""


class ProcedureError(MiddlerunError, ValueError):
    """A procedure contradicts itself or the still it is to run on."""


class NeverEndsError(ProcedureError):
    """A phase whose end condition can't be met on this still with this charge."""


class SolverError(MiddlerunError, RuntimeError):
    """The integrator gave up; the message says when, in which phase, and what usually helps."""
