"""What the running app holds between taps: the view on screen and how to draw it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import flet as ft

from logic.desk.commands import Command
from logic.desk.views import View
from mobile.look import Look

Do = Callable[[Command], View]


@ft.observable
@dataclass
class Shell:
    """State outside the controls. `act` hands a command on and shows the view that answers it."""

    view: View
    look: Look
    do: Do = field(repr=False)

    def act(self, command: Command) -> None:
        """Carry out one command; what it records is safe before the view changes."""
        self.view = self.do(command)
