"""The pane shows the picture in the theme's colours, or its words where it cannot be seen."""

import pytest
from textual.app import App, ComposeResult

from tests.examples import example
from workshop.pictures.plan_view import plan_view
from workshop.pictures.section_view import section_view
from workshop.tui.picture_pane import PicturePane
from workshop.tui.theme import DUSK, THEMES

BENCH = example("tarn-bench").file


class Shown(App[None]):
    """A pane alone."""

    CSS = "PicturePane { width: 100%; height: 100%; }"

    def __init__(self, theme: str = "dusk") -> None:
        super().__init__()
        for held in THEMES:
            self.register_theme(held)
        self.theme = theme

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our colour names, as the program gives them."""
        return {**super().get_theme_variable_defaults(), **DUSK.variables}

    def compose(self) -> ComposeResult:
        """The bench's plan."""
        yield PicturePane(plan_view(BENCH, "seat"))

    @property
    def pane(self) -> PicturePane:
        """The pane."""
        return self.query_one(PicturePane)

    def rows(self) -> list[str]:
        """What the pane draws."""
        return [self.pane.render_line(y).text for y in range(self.pane.size.height)]


@pytest.mark.parametrize("theme", ["dusk", "daylight", "contrast"])
async def test_a_picture_has_title_pieces_and_legend(theme: str) -> None:
    app = Shown(theme)
    async with app.run_test(size=(64, 15)) as pilot:
        await pilot.pause()
        rows = app.rows()
        assert rows[0].startswith("PLAN 1400 x 400")
        assert {len(row) for row in rows} == {64}
        shown = "\n".join(rows)
        assert "p1" in shown and "p2" in shown and "■ wood" in shown and "▄" in shown
        backs = {
            segment.style.bgcolor
            for y in range(len(rows))
            for segment in app.pane.render_line(y)
            if segment.style is not None
        }
        assert len(backs) >= 5


async def test_under_24_by_6_cells_it_is_words() -> None:
    app = Shown()
    async with app.run_test(size=(60, 5)) as pilot:
        await pilot.pause()
        assert app.pane.in_words
        assert "Plan of seat from above" in "\n".join(app.rows())


async def test_without_colour_it_is_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Shown()
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        shown = "\n".join(app.rows())
        assert "Light run near along the left edge of p1 at 14.5 mm." in shown
        assert "■" not in shown


async def test_another_picture_takes_its_place() -> None:
    app = Shown()
    async with app.run_test(size=(64, 20)) as pilot:
        await pilot.pause()
        app.pane.show(section_view(BENCH, "seat"))
        await pilot.pause()
        assert app.rows()[0].startswith("SECTION at 720 mm")
        app.pane.show(None)
        await pilot.pause()
        assert not "".join(app.rows()).strip()


async def test_a_small_change_of_size_makes_the_picture_anew() -> None:
    app = Shown()
    async with app.run_test(size=(64, 20)) as pilot:
        await pilot.pause()
        await pilot.resize_terminal(50, 18)
        await pilot.pause()
        assert {len(row) for row in app.rows()} == {50}
