"""What a bench says, draws and adds: functions that are put under its computation."""

from __future__ import annotations

from collections.abc import Callable

from coursekit.lesson.draw.picture import Drawn
from coursekit.lesson.screen import page
from coursekit.lesson.workbench import number_table
from coursekit.lesson.workbench.now import Now


class Declared:
    """The functions of a bench, each with the decorator that takes it."""

    against: Callable[[Now, Now], str] | None = None
    table_of: Callable[[Now], number_table.Table] | None = None
    more: Callable[[Now], page.Markup] | None = None
    say: Callable[[Now], str]
    draw: Callable[[Now], Drawn]

    def says(self, say: Callable[[Now], str]) -> Callable[[Now], str]:
        """Put above the function that says what the picture shows."""
        self.say = say
        return say

    def draws(self, draw: Callable[[Now], Drawn]) -> Callable[[Now], Drawn]:
        """Put above the function that draws one setting; what is pinned is drawn by it too, and joined to it."""
        self.draw = draw
        return draw

    def compares(self, against: Callable[[Now, Now], str]) -> Callable[[Now, Now], str]:
        """Put above the function that says how a setting stands against the one pinned."""
        self.against = against
        return against

    def adds(self, more: Callable[[Now], page.Markup]) -> Callable[[Now], page.Markup]:
        """Put above the function that gives what stands under the picture: a note, or a table that is folded."""
        self.more = more
        return more

    def tabulates(self, table: Callable[[Now], number_table.Table]) -> Callable[[Now], number_table.Table]:
        """Put above the function that gives head and rows for `.table` and `.save_table("sweep.csv")`."""
        self.table_of = table
        return table
