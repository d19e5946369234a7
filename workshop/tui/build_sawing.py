"""From the build to its slabs and back."""

from __future__ import annotations

from workshop.tui.build_laying import LayingOut


class Sawing(LayingOut):
    """The key that opens the slabs."""

    def action_slabs(self) -> None:
        """The slab of the page that is open, else the first."""
        from workshop.tui.slab_screen import SlabScreen

        known = self.opened.project.file.slab
        if not known:
            self.say("There is no slab yet: write one into the file, such as [slab.ash].")
            return
        here = self.scope.path.split("/")[0]
        self.laying = True
        first = here if here in known else next(iter(known))
        screen = SlabScreen(self.opened, first, self.clock.now, self._bounced)
        self.app.push_screen(screen, self._laid_out)
