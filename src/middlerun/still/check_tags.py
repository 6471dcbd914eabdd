"""Checks of instrument tags: letters of ANSI/ISA-5.1 and a loop number, each once, and fitting what is read."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator

from middlerun.fields import Finding
from middlerun.still.description import Instrument

# First letters of ANSI/ISA-5.1 that name what is measured; the letters left to the user are not among them.
FIRST_LETTERS = {
    "A": "analysis",
    "F": "flow",
    "H": "hand",
    "J": "power",
    "K": "time",
    "L": "level",
    "P": "pressure",
    "Q": "quantity",
    "S": "speed",
    "T": "temperature",
    "W": "weight",
    "Y": "event",
    "Z": "position",
}
_TAG = re.compile(r"^([A-Z])([DFQS]?)([ACEGHILRTSVWYZ]{1,4})-?\d{1,5}[A-Z]?$", re.ASCII)
_LETTER_OF = {
    "temperature": "T",
    "pressure": "P",
    "flow": "F",
    "out": "T",
    "strength": "AD",
    "power": "J",
}


def letters_for(reads: str) -> str:
    """Return the first letters that fit what an instrument reads. D, the user's choice, may stand for density.

    >>> letters_for("jacket pressure"), letters_for("condenser water out"), letters_for("product strength")
    ('P', 'T', 'AD')
    """
    return _LETTER_OF[reads.rsplit(" ", 1)[-1]]


def is_tag(tag: str) -> bool:
    """Tell whether a tag consists of ISA-5.1 letters and a loop number.

    >>> is_tag("TIC-102"), is_tag("PDI-7A"), is_tag("boiler temp")
    (True, True, False)
    """
    match = _TAG.match(tag)
    return match is not None and match.group(1) in (*FIRST_LETTERS, "D")


def check_tags(instruments: Iterable[Instrument]) -> Iterator[Finding]:
    """Yield doubled tags (refused), tags that are none, letters that do not fit, and places read twice."""
    instruments = tuple(instruments)
    for tag, count in Counter(i.tag for i in instruments).items():
        if count > 1:
            text = f'The tag "{tag}" stands on {count} instruments. Each needs its own number.'
            yield Finding(where="instruments", level="refused", text=text)
    for place, count in Counter(i.reads for i in instruments).items():
        if count > 1:
            text = f"{count} instruments read the {place}; the lag of the first is used."
            yield Finding(where="instruments", level="note", text=text)
    for i, instrument in enumerate(instruments, 1):
        where, tag = f"instruments {i}: tag", instrument.tag
        fitting = letters_for(instrument.reads)
        if not is_tag(tag):
            text = (
                f'"{tag}" is not a tag of ANSI/ISA-5.1: letters, then a loop number. For the {instrument.reads} '
                f'"{fitting[0]}I-101" would be one.'
            )
            yield Finding(where=where, level="unlikely", text=text)
        elif tag[0] not in fitting:
            text = (
                f'"{tag}" begins with the letter of {FIRST_LETTERS.get(tag[0], "density")}, but the instrument reads '
                f"the {instrument.reads}: its tag begins with {' or '.join(fitting)} (ANSI/ISA-5.1)."
            )
            yield Finding(where=where, level="unlikely", text=text)
