"""`middlerun plan check`: what is wrong or unlikely in a plan, without running it."""

from __future__ import annotations

import argparse
from dataclasses import replace

from middlerun.cli.findings import tell
from middlerun.fields import Finding, unusual
from middlerun.plan import Plan, check_plan, load_plan
from middlerun.still import check_still


def check(arguments: argparse.Namespace) -> int:
    """Load and check a plan; what would be refused is raised as an error, the rest is listed."""
    plan = load_plan(arguments.plan)
    check_plan(plan)
    return tell("plan check", arguments.plan, _findings(plan), as_json=arguments.json)


def _findings(plan: Plan) -> list[Finding]:
    found = [replace(one, where=f"still: {one.where}") for one in check_still(plan.still)]
    for part in ("procedure", "charge", "weather", "limits"):
        found += unusual(getattr(plan, part), part)
    return found
