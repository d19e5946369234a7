"""The command palette: every action and every figure by name."""

from __future__ import annotations

from functools import partial
from typing import Any

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content
from textual.fuzzy import Matcher

from workshop.tui.actions import BUILD_ACTIONS, THEME
from workshop.tui.keymap import in_force
from workshop.tui.layout_actions import LAYOUT, LAYOUT_ACTIONS
from workshop.tui.list_actions import LIST_ACTIONS
from workshop.tui.slab_actions import SLAB_ACTIONS, SLABS


class ActionSearch(Provider):
    """The actions of the open screen."""

    async def discover(self) -> Hits:
        """All of them, before anything is typed."""
        for words, run in self._actions():
            yield DiscoveryHit(Content(words), run)

    async def search(self, query: str) -> Hits:
        """Those whose words match."""
        matcher = self.matcher(query)
        for words, run in self._actions():
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, _found(matcher, words), run)

    def _actions(self) -> list[tuple[str, partial[Any]]]:
        from workshop.tui.build_screen import BuildScreen
        from workshop.tui.list_screen import ListScreen

        on_list = isinstance(self.screen, ListScreen)
        actions = (
            LIST_ACTIONS
            if on_list
            else BUILD_ACTIONS
            if isinstance(self.screen, BuildScreen)
            # The layout's screen is not brought for a palette that is opened elsewhere.
            else LAYOUT_ACTIONS
            if self.screen.id == LAYOUT
            else SLAB_ACTIONS
            if self.screen.id == SLABS
            else (THEME,)
        )
        return [
            (f"{action.words}  ({action.key_shown})", partial(self.screen.run_action, action.id))
            for action in in_force(self.app, actions)
            if not action.repeats
        ]


class FigureSearch(Provider):
    """Every figure of the open project."""

    async def search(self, query: str) -> Hits:
        """Figures whose title, calculator or subject match; choosing one goes there."""
        from workshop.tui.build_screen import BuildScreen

        screen = self.screen
        if not isinstance(screen, BuildScreen):
            return
        matcher = self.matcher(query)
        units = screen.plan.project.units
        for stage in screen.plan.stages:
            for answer in stage.answers:
                for figure in answer.result.figures if answer.result is not None else ():
                    words = f"{figure.title}, {answer.subject}: {figure.text(units)}"
                    score = matcher.match(words)
                    if score > 0:
                        yield Hit(
                            score,
                            _found(matcher, words),
                            partial(screen.show_figure, stage.stage.id, answer, figure.id),
                            help=answer.calculator.title,
                        )


def _found(matcher: Matcher, words: str) -> Content:
    """The words with what matched lit up. The matcher's own `highlight` reads its words as markup."""
    found = Content(words)
    _score, offsets = matcher.fuzzy_search.match(matcher.query, words)
    for offset in offsets:
        found = found.stylize(matcher.match_style, offset, offset + 1)
    return found


def action_commands() -> type[Provider]:
    """The provider of actions, named late so that the program starts without it."""
    return ActionSearch
