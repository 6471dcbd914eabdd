"""One category of spirit drink a file in `categories/`; the file's name is the category's id."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from pathlib import Path

from middlerun.errors import InputFileError, UnknownNameError
from middlerun.fields import choice, flag, load_record, load_toml_file, nearest, quantity, require_format, text
from middlerun.units import format_quantity

FORMAT = "middlerun-category"
VERSION = 1
STATUSES = ("read", "computed", "from memory (high)", "from memory (medium)", "from memory (low)")
_FOLDER = Path(__file__).with_name("categories")


@dataclass(frozen=True, kw_only=True)
class Category:
    """What the law says about distilling one category. `distilled_below` is a strict limit: less than, not up to."""

    name: str = text(doc="Name of the category.")
    jurisdiction: str = text(doc="Where it is law, such as EU or US.")
    distilled_below: float = quantity(
        "volume strength", low="50 %{vol}", high="100 %{vol}", doc="The distillate must be weaker than this."
    )
    every_distillation: bool = flag(
        default=False, doc="Whether the text says that each distillation must stay below it."
    )
    law: str = text(doc="The act.")
    clause: str = text(doc="Place in the act.")
    as_of: str = text(doc="Date of the consolidated text that was used, or why there is none.")
    source: str = text(doc="Where the text was read.")
    status: str = choice(*STATUSES, doc="How the figure was come by.")
    note: str = text(default="", doc="What to look at before relying on it.")

    def allows(self, strength: float) -> bool:
        """Say whether a distillate of this volume strength (0 to 1) is below the ceiling.

        >>> category("eu-fruit-spirit").allows(0.86)
        False
        """
        return strength < self.distilled_below

    @property
    def reference(self) -> str:
        """The ceiling with its clause and date, in one line.

        >>> category("us-brandy").reference
        'less than 95 %{vol}, 27 CFR Part 5, 5.145(a)'
        """
        dated = f", text of {self.as_of}" if self.as_of[:1].isdigit() else ""
        limit = format_quantity(self.distilled_below, "volume strength")
        return f"less than {limit}, {self.law}, {self.clause}{dated}"


def category_ids() -> tuple[str, ...]:
    """Return the ids of all categories, sorted.

    >>> "eu-wine-spirit" in category_ids()
    True
    """
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.toml")))


@functools.cache
def category(id: str) -> Category:
    """Return a category by its id; UnknownNameError names the nearest.

    >>> category("eu-fruit-spirit").distilled_below
    0.86
    """
    if id not in category_ids():
        raise UnknownNameError(f'There is no category "{id}". {nearest(id, category_ids())}')
    path = _FOLDER / f"{id}.toml"
    found = load_record(Category, require_format(load_toml_file(path), path.name, FORMAT, VERSION), path.name)
    for key in ("name", "jurisdiction", "law", "clause", "as_of", "source"):
        if not getattr(found, key).strip():
            raise InputFileError(f"{path.name}: {key} is empty. A legal figure needs its clause, date and source.")
    return found
