"""Taking a reading: the likeliest first, nudged from the last value or typed over it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key, Paste, Resize
from textual.screen import ModalScreen
from textual.widgets import Label

from workshop.likeliest import Wanted, last_reading, wanted_at
from workshop.meanwhile import ago
from workshop.plan import Plan
from workshop.project.reading_kinds import READING_KINDS, WHERE, nudged
from workshop.quantity import LENGTH, Kind, QuantityError, Units, parse, typed_with_unit
from workshop.tui.lines import plain
from workshop.tui.reading_rows import PLACED, MoreRow, ReadingRow, fields_of
from workshop.tui.rows import Row
from workshop.tui.worksheet import Worksheet

MARGIN = 9
"""Lines that stay free above, below and inside the frame."""
LONGEST = 200
"""Signs that a field takes: a place in words, not a letter."""

MORE = "more"


Take = Callable[[str, Mapping[str, str]], tuple[bool, str]]


class ReadingScreen(ModalScreen[str | None]):
    """Dismisses with what was said of the readings taken, None where none was."""

    CSS_PATH = "reading_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave"),
        Binding("enter", "keep", "Keep it"),
        Binding("up", "row(-1)", "The reading above"),
        Binding("down", "row(1)", "The reading below"),
        Binding("left", "nudge(-1)", "A step less"),
        Binding("right", "nudge(1)", "A step more"),
        Binding("tab", "field(1)", "The next field"),
        Binding("shift+tab", "field(-1)", "The field before"),
        Binding("backspace", "erase(1)", "Erase a sign"),
        Binding("delete,ctrl+u", "erase(0)", "Erase all"),
    ]

    def __init__(
        self,
        plan: Callable[[], Plan],
        wanted: tuple[Wanted, ...],
        open_subject: str,
        now: Callable[[], datetime],
        take: Take,
        bounced: Callable[[str], bool],
        first: tuple[str, str] | None = None,
    ) -> None:
        """`wanted` come likeliest first, `first` (subject, key) before all. `take` logs a reading."""
        super().__init__()
        self._plan, self._now, self._take, self._bounced = plan, now, take, bounced
        self._subject = open_subject
        keys = [(held.subject, held.key) for held in wanted]
        self._keys = list(dict.fromkeys([first, *keys] if first is not None else keys))
        self._at, self._field, self._more = 0, "value", False
        self._typed: dict[tuple[str, str], dict[str, str]] = {}
        self._seen: dict[tuple[str, str], list[str]] = {}
        self._said, self._role, self._taken = "", "amber", ""

    def compose(self) -> ComposeResult:
        """Heading, rows, what is wrong or was done, keys."""
        with Vertical(id="readings"):
            yield Label(Content("Take a reading: digits type over the last one"), classes="question")
            yield Worksheet(id="reading-rows")
            yield Label("", id="reading-said")
            yield Label("", classes="hint", id="reading-keys")

    def on_mount(self) -> None:
        """Show the rows; keys come to the screen itself."""
        self.query_one(Worksheet).can_focus = False

    def on_resize(self, event: Resize) -> None:
        """Lay the rows out for the room there is."""
        self.call_after_refresh(self._show)

    @property
    def _units(self) -> Units:
        return self._plan().project.units

    @property
    def _here(self) -> Wanted | None:
        """The reading under the cursor, None on the line for more."""
        return wanted_at(self._plan(), *self._keys[self._at]) if self._at < len(self._keys) else None

    def _default(self, wanted: Wanted, name: str) -> str:
        """What stands in a field that was not touched: what was read there last."""
        if name == "value":
            return wanted.last
        if name == "place":
            places = self._places(wanted)
            done = self._seen.get((wanted.subject, wanted.key), [])
            if not done:
                return wanted.place
            return next((place for place in places if place not in done), "")
        last = last_reading(self._plan().project.file, wanted.subject, wanted.key)
        return last.deep.text if last is not None and last.deep is not None else ""

    def _places(self, wanted: Wanted) -> list[str]:
        """Where this was read before, in the order of the first time."""
        rows = self._plan().project.file.record.readings.get(wanted.subject, ())
        found = [
            row.place.text
            for row in sorted(rows, key=lambda row: row.at)
            if row.place is not None and getattr(row, wanted.key) is not None
        ]
        return list(dict.fromkeys(found))

    def _text(self, wanted: Wanted, name: str) -> str:
        typed = self._typed.get((wanted.subject, wanted.key), {})
        return typed[name] if name in typed else self._default(wanted, name)

    def _rows(self) -> tuple[Row, ...]:
        plan, made = self._plan(), []
        for number, (subject, key) in enumerate(self._keys):
            wanted = wanted_at(plan, subject, key)
            typed = self._typed.get((subject, key), {})
            last = last_reading(plan.project.file, subject, key)
            made.append(
                ReadingRow(
                    f"reading:{number}",
                    wanted=wanted,
                    age=ago(max(self._now() - last.at, timedelta())) if last is not None else "",
                    shown={name: (self._text(wanted, name), name in typed) for name in fields_of(key)},
                    active=self._field if number == self._at else "",
                    column=max(len(held) for held, _key in self._keys),
                )
            )
        if not self._more:
            return (*made, MoreRow(MORE, subject=self._subject))
        return tuple(made)

    def _show(self) -> None:
        sheet = self.query_one(Worksheet)
        rows = self._rows()
        width = max(20, sheet.scrollable_content_region.width - 2)
        sheet.styles.height = min(
            sum(len(row.lines(width)) for row in rows), max(3, self.size.height - MARGIN)
        )
        with sheet.prevent(Worksheet.Moved):
            sheet.show(rows, rows[min(self._at, len(rows) - 1)].key)
        said = self.query_one("#reading-said", Label)
        said.update(Content(plain(self._said)))
        said.set_class(bool(self._said), "-shown")
        said.set_class(self._role == "green", "-good")
        self.query_one("#reading-keys", Label).update(Content(plain(self._keys_shown())))

    def _keys_shown(self) -> str:
        wanted = self._here
        if wanted is None:
            return "enter shows them   escape leaves"
        steps = {"value": wanted.step_text if wanted.last else "", "place": "another place"}
        step = steps.get(self._field, "")
        arrows = f"← → {step}   " if step else ""
        return f"{arrows}tab next   enter keeps   escape leaves"

    # Moving

    def action_row(self, steps: int) -> None:
        """Go to another reading."""
        last = len(self._keys) - (1 if self._more else 0)
        self._at, self._field = max(0, min(last, self._at + steps)), "value"
        self._said = ""
        self._show()

    def action_field(self, steps: int) -> None:
        """Go to the next field, of this reading or the next one; what was typed stays."""
        wanted = self._here
        names = fields_of(wanted.key) if wanted is not None else ("value",)
        place = names.index(self._field) + steps
        if 0 <= place < len(names):
            self._field, self._said = names[place], ""
            self._show()
            return
        self.action_row(steps)

    def on_worksheet_moved(self, event: Worksheet.Moved) -> None:
        """A click stands on another reading."""
        event.stop()
        key = event.row.key if event.row is not None else ""
        place = len(self._keys) if key == MORE else int(key.partition(":")[2] or 0)
        if place != self._at:
            self._at, self._field = place, "value"
            self.call_after_refresh(self._show)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the line for more is enter."""
        event.stop()
        if isinstance(event.row, MoreRow):
            self.action_keep()

    # Typing

    def on_key(self, event: Key) -> None:
        """Anything that can be printed is typed over the last value."""
        if event.is_printable and event.character is not None:
            event.stop()
            self._type(event.character)

    def on_paste(self, event: Paste) -> None:
        """A paste is typed."""
        event.stop()
        self._type("".join(event.text.splitlines()[:1]))

    def _type(self, signs: str) -> None:
        wanted = self._here
        if wanted is None:
            return
        held = self._typed.setdefault((wanted.subject, wanted.key), {})
        held[self._field] = (held.get(self._field, "") + signs)[:LONGEST]
        self._said = ""
        self._show()

    def action_erase(self, signs: int) -> None:
        """Erase a sign, or all; an untouched value goes whole, as one that is selected."""
        wanted = self._here
        if wanted is None:
            return
        held = self._typed.setdefault((wanted.subject, wanted.key), {})
        held[self._field] = held.get(self._field, "")[:-signs] if signs else ""
        self._show()

    def action_nudge(self, steps: int) -> None:
        """Move the value by its step; of a place, go to another that was read before."""
        wanted = self._here
        if wanted is None:
            return
        text = self._text(wanted, self._field)
        try:
            if self._field == "place":
                places = self._places(wanted)
                if not places:
                    return
                at = places.index(text) + steps if text in places else 0
                text = places[at % len(places)]
            elif text:
                kind, key = self._kind(wanted)
                text = nudged(self._with_unit(wanted, text), steps, kind, self._units, key)
            else:
                self._say("Nothing to start from: type the first one.")
                return
        except QuantityError as error:
            self._say(str(error))
            return
        self._typed.setdefault((wanted.subject, wanted.key), {})[self._field] = text
        self._said = ""
        self._show()

    def _kind(self, wanted: Wanted) -> tuple[Kind, str]:
        return (LENGTH, "deep") if self._field == "deep" else (wanted.kind, wanted.key)

    def _with_unit(self, wanted: Wanted, text: str, name: str = "") -> str:
        """A text with the unit of the last value where only digits were typed."""
        if (name or self._field) == "deep":
            return typed_with_unit(text, 0.01, LENGTH, self._units)
        last = parse(wanted.last, wanted.kind) if wanted.last else _usual(wanted.kind)
        return typed_with_unit(text, last, wanted.kind, self._units)

    # Keeping

    def action_keep(self) -> None:
        """Keep the reading under the cursor, with those that were typed before it."""
        if self._bounced("reading-enter"):
            return
        wanted = self._here
        if wanted is None:
            self._show_more()
            return
        here = (wanted.subject, wanted.key)
        typed = self._typed.setdefault(here, {})
        typed.setdefault("value", wanted.last)
        if self._goes_on(here):
            return
        wanted_now = [key for key in self._keys if self._typed.get(key, {}).get("value", "").strip()]
        if here not in wanted_now and not wanted_now:
            self._say(f"Type the {wanted.title}, such as {wanted.kind.example}.")
            return
        self._log(wanted_now, stay=wanted.key in PLACED)

    def _goes_on(self, here: tuple[str, str]) -> bool:
        """The air is read in one go: after its temperature comes its humidity, if both stand here."""
        damp = ("shop", "humidity")
        if here != ("shop", "temperature") or damp not in self._keys or damp in self._typed:
            return False
        self._at, self._field = self._keys.index(damp), "value"
        self._said, self._role = "And the humidity; backspace where you did not read it.", "green"
        self._show()
        return True

    def _log(self, keys: list[tuple[str, str]], stay: bool) -> None:
        plan = self._plan()
        together: dict[tuple[str, ...], dict[str, str]] = {}
        for subject, key in keys:
            wanted = wanted_at(plan, subject, key)
            values = {
                name: text
                for name in fields_of(key)
                if name in WHERE and (text := self._text(wanted, name).strip())
            }
            if "deep" in values:
                values["deep"] = self._with_unit(wanted, values["deep"], "deep")
            group: tuple[str, ...] = (subject, key) if key in PLACED else (subject,)
            made = self._with_unit(wanted, self._text(wanted, "value"), "value")
            together[group] = {**together.get(group, {}), key: made, **values}
        for (of, *_), values in together.items():
            good, said = self._take(of, values)
            if not good:
                self._say(said)
                return
            self._taken = said
            for held in keys:
                if held[0] == of and held[1] in values:
                    self._typed.pop(held, None)
                    self._seen.setdefault(held, []).append(values.get("place", ""))
        if not stay:
            self.dismiss(self._taken)
            return
        self._field = "value"
        self._said, self._role = f"{self._taken} The next place, or escape.", "green"
        self._show()

    def _show_more(self) -> None:
        """Every other kind of reading of what is open."""
        more = [(self._subject, key) for key in READING_KINDS if key not in WHERE]
        self._keys = list(dict.fromkeys([*self._keys, *more]))
        self._more = True
        self._show()

    def _say(self, text: str) -> None:
        self._said, self._role = text, "amber"
        self._show()

    def action_leave(self) -> None:
        """Leave; what was typed and not kept is no reading."""
        self.dismiss(self._taken or None)


def _usual(kind: Kind) -> float:
    """A usual size of a kind, for the unit of a first reading."""
    return parse(kind.example.split(",")[0].split(" or ")[0], kind)
