"""How `check` commands tell what they found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from middlerun.cli.guard import DONE, REFUSED
from middlerun.cli.output import console, print_json

if TYPE_CHECKING:
    from middlerun.fields import Finding

_REFUSED = "refused"


def tell(command: str, name: str, findings: Sequence[Finding], *, as_json: bool) -> int:
    """Print the findings on `name`; return 2 when one of them means that it would be refused, else 0."""
    refused = any(finding.level == _REFUSED for finding in findings)
    if as_json:
        print_json({"command": command, "name": name, "ok": not refused, "findings": [asdict(f) for f in findings]})
    else:
        _print(name, findings)
    return REFUSED if refused else DONE


def _print(name: str, findings: Sequence[Finding]) -> None:
    screen = console()
    if not findings:
        screen.print(f"{name}: nothing is wrong, nothing is unusual.", markup=False)
        return
    screen.print(f"{name}: {len(findings)} to look at.", markup=False)
    for finding in findings:
        screen.print(f"  {finding.level}: {finding.where}: {finding.text}", markup=False)
