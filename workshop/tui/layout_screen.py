"""Laying pieces out in a form: every key moves something and all that follows is seen at once."""

from __future__ import annotations

from math import pi, radians, remainder
from typing import Final, Literal

from textual import work

from workshop.layout.as_placed import casting_as_placed
from workshop.layout.placed import placed_piece
from workshop.layout.snapping import WAYS, Way, stops
from workshop.layout.trimming import Offer, offers, trim_lines
from workshop.project import laying
from workshop.project.changes import noted_changes
from workshop.project.project import Project
from workshop.tui.choose import ChoiceRow, Choose
from workshop.tui.layout_actions import LAYOUT_ACTIONS
from workshop.tui.layout_base import CUTS, LayoutBase, middle
from workshop.tui.layout_rows import length_words
from workshop.tui.pane import ScrollPane
from workshop.tui.worksheet import Worksheet

FINEST: Final = {"metric": 1e-4, "us": 0.000254}
"""m: where a piece is snapped to, a tenth of a millimetre or a hundredth of an inch."""


class LayoutScreen(LayoutBase):
    """The keys of the layout."""

    CSS_PATH = "layout_screen.tcss"

    def _in_hand(self) -> str:
        """The piece in hand, empty where none can be laid out: then that is said."""
        if not self._piece:
            self.say(f"No piece lies in {self.casting}. Give one this casting first.")
            return ""
        why = laying.locked(self.opened.project.file, self._piece)
        if why:
            self.say(why)
            return ""
        return self._piece

    # Moving and turning

    def action_move(self, x: int, y: int) -> None:
        """Move the piece in hand, or the cursor."""
        way: Way = next(way for way, held in WAYS.items() if held == (x, y))
        self._way = way
        dx, dy = x * self.step, y * self.step
        if self._pointing:
            self._point(self._cursor[0] + dx, self._cursor[1] + dy)
            return
        piece = self._in_hand()
        if not piece:
            return
        if self.opened.project.file.piece[piece].place is None:
            self._set_down(piece, self._cursor)
            return
        self.tried(f"moved {piece}", lambda project: laying.moved(project, piece, dx, dy))

    def _point(self, x: float, y: float) -> None:
        held = self._held
        if held is not None and held.length is not None and held.width is not None:
            x, y = min(max(0.0, x), held.length), min(max(0.0, y), held.width)
        self._cursor = (round(x, 9), round(y, 9))
        self.quiet()
        self.show_all()

    def _set_down(self, piece: str, place: tuple[float, float]) -> None:
        if not self._form_known(f"set {piece} down"):
            return

        def action(project: Project) -> Project:
            if project.file.piece[piece].casting != self.casting:
                project = laying.sent(project, piece, self.casting)
            made = laying.placed_at(project, piece, place)
            placed_piece(made.file, piece)
            return made

        if self.tried(f"laid down {piece}", action):
            self.say(f"{piece} is laid down with its mark at {laying.place_text(place, self.units)}.")

    def _form_known(self, then: str) -> bool:
        """Whether the inside of the form is known; where it is not, that is said."""
        known = middle(self.opened.project.file, self.casting, self.units) is not None
        if not known:
            form = f"of the form of {self.casting}"
            self.say(f"The length and width {form} are not known: enter them on the form stage, then {then}.")
        return known

    def action_set_down(self) -> None:
        """Set the piece down at the cursor."""
        piece = self._in_hand()
        if piece and self._pointing:
            self._set_down(piece, self._cursor)
        elif piece:
            self.say("First press k and move the cursor to where the mark of the piece shall lie.")

    def action_next_piece(self) -> None:
        """Take the next piece in hand."""
        known = self.pieces
        if known:
            place = known.index(self._piece) if self._piece in known else -1
            self._piece = known[(place + 1) % len(known)]
        self.quiet()
        self.show_all()

    def _turn(self, sign: int) -> None:
        by = radians(1 if self._fine else 15) * sign
        if self._pointing and self._cut != "off":
            self._slant = remainder(self._slant + by, pi)
            self._cut_asked = True
            self.quiet()
            self.show_all()
            return
        piece = self._in_hand()
        if piece:
            self.tried(f"turned {piece}", lambda project: laying.turned(project, piece, by))

    def action_turn_left(self) -> None:
        """Turn against the clock."""
        self._turn(1)

    def action_turn_right(self) -> None:
        """Turn with the clock."""
        self._turn(-1)

    def action_turn_over(self) -> None:
        """Turn the piece over."""
        if self._bounced("turn_over"):
            return
        piece = self._in_hand()
        if piece:
            self.tried(f"turned {piece} over", lambda project: laying.flipped(project, piece))

    def action_snap(self) -> None:
        """Move the piece on until it touches something; pressed again, what lies beyond."""
        piece, held, placed = self._in_hand(), self._held, self.placed
        if not piece or held is None:
            return
        found = stops(held, placed, self._way) if placed is not None else ()
        if placed is None or not found:
            self.say(f"Nothing more lies {_WAY_WORDS[self._way]}. An arrow turns the way.")
            return
        x, y = placed.mark
        dx, dy = WAYS[self._way]
        far, system = found[0].distance, self.units.system
        place = (_short_of(x, dx, far, system), _short_of(y, dy, far, system))
        if self.tried(f"moved {piece}", lambda project: laying.placed_at(project, piece, place)):
            self.say(f"{piece} lies against {found[0].what}: {length_words(far, self.units)} further.")

    def action_trim(self) -> None:
        """Saw the piece off at the walls of the form."""
        if self._bounced("trim"):
            return
        piece, held, placed = self._in_hand(), self._held, self.placed
        if not piece or held is None or placed is None:
            return
        try:
            lines = trim_lines(self.opened.project.file, held, placed)
        except ValueError as error:
            self.say(str(error))
            return
        if not lines:
            self.say(f"{piece} lies inside the form.")
            return
        slab = self.opened.project.file.piece[piece].slab
        if self.tried(f"trimmed {piece}", lambda project: laying.trimmed(project, piece, lines)):
            count = "A saw line" if len(lines) == 1 else f"{len(lines)} saw lines"
            self.say(f"{count} on {slab} for {piece} alone: it ends at the wall.")

    # Where it goes and comes from

    @work
    async def action_send(self) -> None:
        """Lay the piece into another casting, and go on there."""
        if self._bounced("send"):
            return
        piece = self._in_hand()
        file = self.opened.project.file
        others = [name for name in file.casting if name != file.piece[piece].casting] if piece else []
        if not piece:
            return
        if not others:
            self.say("There is no other casting.")
            return
        rows = tuple(
            ChoiceRow(name, words=name, about=f"pieces in it: {len(file.pieces_of(name))}") for name in others
        )
        chosen = await self.app.push_screen_wait(Choose(f"Into which casting goes {piece}?", "", rows))
        if chosen is None:
            return
        place = self._place_in(chosen, piece)
        name = f"sent {piece} to {chosen}"
        if self.tried(name, lambda project: laying.sent(project, piece, chosen, place)):
            self.casting, self._zoom = chosen, 1
            self._piece = piece
            self._centre()
            self.show_all()
            self.say(f"{piece} lies in {chosen} now.")

    def _place_in(self, casting: str, piece: str) -> tuple[float, float] | None:
        """Where a piece comes to lie in another casting: where it was, or the middle."""
        file = self.opened.project.file
        held, place = casting_as_placed(file, casting), file.piece[piece].place
        if held is None or held.length is None or held.width is None:
            return None
        if place is not None and 0 < place.x < held.length and 0 < place.y < held.width:
            return None
        return middle(file, casting, self.units)

    @work
    async def action_swap(self) -> None:
        """Saw the piece out of an offcut that is long enough."""
        if self._bounced("swap"):
            return
        piece = self._in_hand()
        if not piece:
            return
        found = offers(self.opened.project.file, piece)
        if not found:
            self.say(f"No offcut is as long as {piece}.")
            return
        rows = tuple(self._offer_row(number, offer) for number, offer in enumerate(found))
        question, about = f"Out of which wood shall {piece} be sawn?", "As long as it, the smallest first."
        chosen = await self.app.push_screen_wait(Choose(question, about, rows))
        if chosen is None:
            return
        offer = found[int(chosen)]
        slab, mark = offer.offcut.slab, _rounded(offer.offcut.mark, self.units.system)
        if self.tried(f"swapped {piece}", lambda project: laying.taken_from(project, piece, slab, mark)):
            self.say(f"{piece} is sawn out of {slab} now, round {laying.place_text(mark, self.units)}.")

    def _offer_row(self, number: int, offer: Offer) -> ChoiceRow:
        units, slab = self.units, self.opened.project.file.slab[offer.offcut.slab]
        size = f"{length_words(round(offer.length, 3), units)} x {length_words(round(offer.width, 3), units)}"
        thick = "" if offer.thickness is None else f", {length_words(offer.thickness, units)} thick"
        return ChoiceRow(
            str(number),
            words=f"{offer.offcut.slab}, offcut {offer.offcut.number}: {size}",
            about=f"{slab.species or 'species not known'}{thick}",
        )

    # Looking

    def action_next_casting(self) -> None:
        """The next casting."""
        known = list(self.opened.project.file.casting)
        self.casting = known[(known.index(self.casting) + 1) % len(known)]
        self._piece, self._zoom = "", 1
        self._centre()
        self.quiet()
        self.show_all()

    def action_cut_view(self) -> None:
        """The section across, along, none."""
        seen = self.query_one("#layout-cut").display
        if seen or self._cut == "off":
            self._cut, self._slant = CUTS[(CUTS.index(self._cut) + 1) % len(CUTS)], 0.0
        self._cut_asked = self._cut != "off"
        self.quiet()
        self.show_all()

    def action_pointing(self) -> None:
        """Arrows move the cursor, or the piece again."""
        self._pointing = not self._pointing
        self.quiet()
        self.show_all()

    def action_numbers(self) -> None:
        """The list, or the picture again."""
        self.quiet()
        self._numbers = not self.in_numbers
        if not self._numbers and self.in_numbers:
            self.say("There is no room or no colour for the picture here.")
        self.show_all()

    def action_guide(self) -> None:
        """A guide through the cursor: along, then across, then none."""
        if self._bounced("guide"):
            return
        if not self._pointing:
            self.say("First press k and move the cursor to where the guide shall lie.")
            return
        if not self._form_known("add the guide"):
            return
        file, casting, (x, y) = self.opened.project.file, self.casting, self._cursor
        along, across = laying.guide_at(file, casting, "y", y), laying.guide_at(file, casting, "x", x)
        axis: Literal["x", "y"] = "x" if along is not None else "y"
        at = x if axis == "x" else y
        old = along or across

        def action(project: Project) -> Project:
            made = project if old is None else laying.guide_removed(project, casting, old)
            return made if old is not None and old == across else laying.guide_added(made, casting, axis, at)

        if self.tried("guide", action):
            where = f"{'across' if axis == 'x' else 'along'} the form at {length_words(at, self.units)}"
            gone = old is not None and old == across
            self.say("No guide here any more." if gone else f"A guide {where}.")

    def action_scroll(self, lines: int) -> None:
        """Scroll the words, or the list."""
        pane = self.query_one(Worksheet) if self.in_numbers else self.query_one("#layout-beside", ScrollPane)
        pane.scroll_relative(y=lines, animate=False)

    def action_layout_keys(self) -> None:
        """All keys."""
        self.show_keys("KEYS OF THE LAYOUT", LAYOUT_ACTIONS)

    # Taking back and leaving

    def action_take_back(self) -> None:
        """Take the last action back."""
        name = self.taken_back()
        if name:
            self.show_all()
            self.say(f"Taken back: {name}.")

    def action_go_back(self) -> None:
        """Back to the build, what was changed written into the journal as one action."""
        opened, before, now = self.opened, self._before, self._now()
        if opened.done > self._since:
            opened.act("layout", lambda project: noted_changes(project, before, now))
            opened.fold(self._since, "layout")
        self.dismiss(None)


_WAY_WORDS: Final[dict[Way, str]] = {
    "left": "to the left",
    "right": "to the right",
    "near": "towards you",
    "far": "away from you",
}


def _short_of(at: float, sign: int, distance: float, system: str) -> float:
    """A place so far on, rounded back rather than beyond."""
    if not sign:
        return at
    step = FINEST[system]
    steps = (at + sign * distance) / step
    return (int((steps + 1e-6) // 1) if sign > 0 else -int((-steps + 1e-6) // 1)) * step


def _rounded(place: tuple[float, float], system: str) -> tuple[float, float]:
    step = 1e-3 if system == "metric" else 0.0254 / 32
    return round(place[0] / step) * step, round(place[1] / step) * step
