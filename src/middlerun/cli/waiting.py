"""What a person sees while something takes long: one line while the model is compiled, a bar while many runs go by."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

from middlerun.cli.output import console, say

if TYPE_CHECKING:
    from rich.progress import Progress

_PREPARING_AFTER = 4.0  # s: a compiled model answers in about one
_BAR_AFTER = 1.0  # s


@contextmanager
def preparing() -> Iterator[None]:
    """Say on standard error that the model is being prepared, if the block takes so long that it must be that."""
    timer = threading.Timer(_PREPARING_AFTER, say, ["Preparing the model (once after installation) ..."])
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


class Bar:
    """A progress bar on standard error that appears after a second, on a terminal only. Use it in a `with` block."""

    def __init__(self, words: str) -> None:
        """Make a bar that waits; `words` stand before it. The second is counted from the first result."""
        self._words = words
        self._began: float | None = None
        self._progress: Progress | None = None
        self._task: Any = None

    def __enter__(self) -> Bar:
        """Return the bar itself."""
        return self

    def __exit__(self, *ending: object) -> None:
        """Take the bar away."""
        if self._progress is not None:
            with suppress(KeyboardInterrupt):
                self._progress.stop()

    def __call__(self, done: int, of: int) -> None:
        """Tell how many of how many are done."""
        if self._began is None:
            self._began = time.monotonic()
        if self._progress is None:
            if done == of or time.monotonic() - self._began < _BAR_AFTER or not sys.stderr.isatty():
                return
            self._start(of)
        if self._progress is not None:
            self._progress.update(self._task, completed=done)

    def _start(self, of: int) -> None:
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        self._progress = Progress(*columns, console=console(stderr=True), transient=True)
        self._progress.start()
        self._task = self._progress.add_task(self._words, total=of)
