"""Hold a written page against what the code gives now.

Words must be the same. Numbers may differ by five in the last digit that is printed, those with an exponent by a
factor of five: they come from adaptive steps, and another processor or compiler takes other steps.
"""

from __future__ import annotations

import re

_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?")


def differences(page: str, code: str) -> list[str]:
    """Return what differs, in words; empty when the page is up to date."""
    if (words := _NUMBER.sub("#", page)) != (wanted := _NUMBER.sub("#", code)):
        lines = zip(words.splitlines(), wanted.splitlines(), strict=False)
        return [f"{a!r} is now {b!r}" for a, b in lines if a != b] or ["the page has another length"]
    pairs = zip(_NUMBER.findall(page), _NUMBER.findall(code), strict=True)
    return [f"{a} is now {b}" for a, b in pairs if not _alike(a, b)]


def _alike(a: str, b: str) -> bool:
    x, y = float(a), float(b)
    if "e" in a or "e" in b:
        return x == y or 0.2 <= abs(x) / max(abs(y), 1e-300) <= 5.0
    digits = len(a.partition(".")[2])
    return abs(x - y) <= 5.0001 * 10.0**-digits if digits else abs(x - y) <= max(5.0, 0.02 * abs(y))
