"""Looking for places on the slabs' screen: one wanted part, or all of them together, while keys stay free."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Final

from textual import work
from textual.message import Message
from textual.worker import Worker, get_current_worker

from workshop.pictures.picture import sizes
from workshop.project.project import Project
from workshop.trade.fitting import Nest, Part, Shortfall, nested, places, shortfall
from workshop.tui.key_row import KeyRow
from workshop.tui.layout_rows import length_words
from workshop.tui.rows import Row, TextRow
from workshop.tui.slab_actions import SLAB_ACTIONS
from workshop.tui.slab_base import Mode, Offer, SlabBase
from workshop.tui.slab_fitting import Left, place_words, short_words, taken, wanted_parts, wood_left
from workshop.tui.slab_wanted import WantedScreen
from workshop.tui.slab_words import BarRow, PlaceRow
from workshop.tui.worksheet import Worksheet

SECONDS: Final = 6.0
"""How long wanted parts are laid together for."""
OFTEN: Final = 0.1
"""Seconds between two reports of a search."""
MOST: Final = 6
"""Places of one part that are looked for on each piece of wood."""

Missing = tuple[str, Shortfall | None]


class SlabSearching(SlabBase):
    """The keys that look for places."""

    seconds = SECONDS

    @dataclass
    class Looked(Message):
        """How far a search has come, and what it found so far."""

        number: int
        share: float
        offers: tuple[Offer, ...]
        missing: tuple[Missing, ...]
        done: bool

    _search = 0
    _stopped = False
    _running = False
    _asked = ""
    _left = Left((), ())
    _missing: tuple[Missing, ...] = ()
    _share = 0.0
    _typed: tuple[str, ...] = ("", "", "0°")

    @property
    def searching(self) -> bool:
        """Whether a search is under way."""
        return self._running

    # Asking

    @work
    async def action_wanted(self) -> None:
        """A wanted part: its measures, then every place where it fits."""
        if self._bounced("wanted"):
            return
        self.quiet()
        screen = WantedScreen(self.units, self._typed, self._bounced)
        typed = await self.app.push_screen_wait(screen)
        if typed is None:
            return
        self._typed = typed
        part = screen.part(typed)
        length, width = (max(axis) - min(axis) for axis in zip(*part.ring, strict=True))
        asked = f"{length_words(length, self.units)} by {length_words(width, self.units)}"
        self._begin("places", asked, wood_left(self.opened.project))
        self._look(self._search, part, self._left)

    def action_together(self) -> None:
        """Every wanted piece together."""
        if self._bounced("together"):
            return
        self.quiet()
        file = self.opened.project.file
        parts, thick = wanted_parts(file)
        if not parts:
            self.say("No piece is wanted: every one has its slab, or lacks a length and a width.")
            return
        self._begin(
            "together",
            f"{len(parts)} wanted piece{'s' * (len(parts) > 1)}",
            wood_left(self.opened.project, thick),
        )
        self._lay_together(self._search, parts, self._left)

    def _begin(self, mode: Mode, asked: str, left: Left) -> None:
        self._search += 1
        self._stopped, self._running = False, True
        self._mode, self._asked, self._left = mode, asked, left
        self._offers, self._missing, self._share = (), (), 0.0
        self._show_places()

    # Searching

    @work(thread=True, exclusive=True, exit_on_error=False, group="fitting")
    def _look(self, number: int, part: Part, left: Left) -> None:
        """Look through the wood piece by piece, the largest margin first."""
        worker = get_current_worker()
        found: list[Offer] = []
        for count, wood in enumerate(left.wood, 1):
            if worker.is_cancelled or self._stopped:
                break
            found += (Offer(place, wood, None) for place in places(part, [wood.stock], most=MOST))
            found.sort(key=lambda held: -held.placement.margin)
            self.post_message(self.Looked(number, count / len(left.wood), tuple(found), (), False))
        missing: tuple[Missing, ...] = ()
        if not found and not self._stopped:
            missing = ((part.id, shortfall(part, [wood.stock for wood in left.wood])),)
        if not worker.is_cancelled:
            self.post_message(self.Looked(number, 1.0, tuple(found), missing, True))

    @work(thread=True, exclusive=True, exit_on_error=False, group="fitting")
    def _lay_together(self, number: int, parts: tuple[Part, ...], left: Left) -> None:
        """Lay parts together; what is best so far is told ten times a second."""
        worker = get_current_worker()
        told = 0.0

        def progress(share: float, best: Nest) -> bool:
            nonlocal told
            if time.monotonic() - told > OFTEN:
                told = time.monotonic()
                self.post_message(self.Looked(number, share, *_told(best, left), False))
            return not (self._stopped or worker.is_cancelled)

        stocks = [wood.stock for wood in left.wood]
        best = nested(parts, stocks, progress=progress, seconds=self.seconds)
        if not worker.is_cancelled:
            self.post_message(self.Looked(number, 1.0, *_told(best, left), True))

    def on_slab_searching_looked(self, event: Looked) -> None:
        """Show what was found, unless another search has begun or it was left."""
        event.stop()
        if event.number != self._search or not self._mode:
            return
        first = not self._offers
        self._offers, self._missing, self._share = event.offers, event.missing, event.share
        self._running = not event.done
        self._show_places(first)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A search that failed is said."""
        if event.worker.group == "fitting" and event.worker.error is not None:
            self._leave_places()
            self.say(f"The search failed: {event.worker.error}")

    # Showing

    def _show_places(self, first: bool = True) -> None:
        rows = tuple(self._place_rows())
        cursor = "offer:0" if first and self._offers else None
        self.query_one("#slab-places", Worksheet).show(rows, cursor)
        take = "take all" if self._mode == "together" else "take it"
        pairs = [("↑ ↓", "look"), ("enter", take), ("z", "zoom")] if self._offers else []
        if self._running:
            pairs = [("space", "stop, keep the best so far")]
        self.query_one(KeyRow).show_pairs((*pairs, ("escape", "leave")))
        self.refresh_bindings()
        self._follow()

    def _place_rows(self) -> list[Row]:
        count = len(self._offers)
        together = self._mode == "together"
        made: list[Row] = [
            TextRow("head", f"{'TOGETHER' if together else 'WANTED'}  {self._asked}", "title", 0)
        ]
        if self._running:
            so_far = f"{count} laid so far" if together else f"{count} place{'s' * (count != 1)}"
            made.append(BarRow("bar", so_far, share=self._share))
        elif together:
            made.append(TextRow("sum", f"{count} laid, {len(self._missing)} without a place", "text", 0))
        elif count:
            words = f"{count} place{'s' * (count != 1)}, the largest margin first"
            made.append(TextRow("sum", words, "dim", 0))
        for name, short in self._missing:
            words = "looking how much is lacking" if self._running else short_words(short, self.units)
            text = f"■ {name}: {words}" if together else f"■ {words[:1].upper()}{words[1:]}."
            made.append(TextRow(f"missing:{name}", text, "dim" if self._running else "red", 0))
        made += [self._offer_row(number, held) for number, held in enumerate(self._offers)]
        made += [TextRow(f"word:{number}", text, "dim", 0) for number, text in enumerate(self._left.words)]
        return made

    def _offer_row(self, number: int, held: Offer) -> PlaceRow:
        if held.piece:
            sides = [max(axis) - min(axis) for axis in zip(*held.placement.part.ring, strict=True)]
            unit = " mm" if self.units.system == "metric" else ""
            margin, name = f"{sizes(sides, self.units)}{unit}", f"{held.piece} on "
        else:
            margin, name = f"{length_words(held.placement.margin, self.units)} to spare all round", ""
        where = place_words(held.placement, held.wood, self.units)
        return PlaceRow(f"offer:{number}", title=f"{name}{held.wood.name}: {margin}", where=where)

    def _follow(self) -> None:
        """The picture shows the slab of the place under the cursor."""
        held = self.offer
        if held is not None and held.wood.slab != self.slab:
            self.slab, self._line = held.wood.slab, ""
            self._centre()
        self.show_all()

    def on_worksheet_moved(self, event: Worksheet.Moved) -> None:
        """Another place is looked at."""
        event.stop()
        if self._mode:
            self._follow()

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the place under the cursor takes it."""
        event.stop()
        self.action_take()

    # Taking

    def action_stop(self) -> None:
        """End the search with the best so far."""
        self._stopped = True

    def action_take(self) -> None:
        """Take the place shown, or all of them."""
        if not self._mode or self._running or self._bounced("take"):
            return
        chosen = self._offers if self._mode == "together" else tuple(filter(None, (self.offer,)))
        if not chosen:
            self.say("There is no place to take: escape goes back.")
            return

        def action(project: Project) -> Project:
            for held in chosen:
                project = taken(project, held.placement, held.wood, held.piece)
            return project

        before = set(self.opened.project.file.piece)
        name = "sawn out together" if len(chosen) > 1 else f"sawn out of {chosen[0].wood.slab}"
        if self.tried(name, action):
            new = [piece for piece in self.opened.project.file.piece if piece not in before]
            names = ", ".join(held.piece or new[0] for held in chosen)
            slabs = ", ".join(dict.fromkeys(held.wood.slab for held in chosen))
            self._leave_places()
            self.say(f"{names}: marked on {slabs}, with the saw lines that saw {_it(chosen)} out.")

    def _leave_places(self) -> None:
        self._search += 1
        self._mode, self._running, self._stopped = "", False, True
        self._offers = ()
        self.query_one(KeyRow).show(SLAB_ACTIONS)
        self.refresh_bindings()
        self.show_all()


def _it(chosen: tuple[Offer, ...]) -> str:
    return "it" if len(chosen) == 1 else "them"


def _told(best: Nest, left: Left) -> tuple[tuple[Offer, ...], tuple[Missing, ...]]:
    offers = tuple(Offer(place, left.of(place.stock), place.part.id) for place in best.placements)
    return offers, tuple((held.part.id, held.shortfall) for held in best.unplaced)
