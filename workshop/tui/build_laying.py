"""From the build to the layout and back."""

from __future__ import annotations

from workshop.tui.build_doing import Doing


class LayingOut(Doing):
    """The key that opens the layout."""

    laying = False
    """Whether the layout stands over the build, which then is planned anew when it is left."""

    def action_layout(self) -> None:
        """Lay out the pieces of the casting that is looked at."""
        from workshop.tui.layout_screen import LayoutScreen

        if not self._casting:
            self.say("There is no casting yet to lay pieces out in.")
            return
        self.laying = True
        screen = LayoutScreen(self.opened, self._casting, self.clock.now, self._bounced)
        self.app.push_screen(screen, self._laid_out)

    def _laid_out(self, _left: None) -> None:
        self.laying = False
        if self.opened.project is not self._plan.project:
            self._replan()
