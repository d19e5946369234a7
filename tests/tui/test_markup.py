"""No text of a maker's reaches a widget that reads markup: each is given words of ours or Content."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import workshop.tui

SOURCES = sorted(Path(next(iter(workshop.tui.__path__))).glob("**/*.py"))

READ_MARKUP = {"Static", "Label", "Button", "Checkbox", "RadioButton", "Option", "Tab", "TabPane", "Toast"}
"""Widgets that read their first argument as markup where it is a plain string."""

METHODS = {
    "notify",
    "update",
    "add_option",
    "add_options",
    "add_row",
    "add_column",
    "write",
    "from_markup",
    "highlight",
}
"""Methods that do, a matcher's `highlight` among them."""
ATTRIBUTES = {"border_title", "border_subtitle", "tooltip", "label", "renderable"}
HITS = {"DiscoveryHit": 0, "Hit": 1}
"""Palette entries, with the place of the words that are shown."""

OURS = {"Content", "_found"}
"""What turns text into Content without reading markup."""


def safe(held: ast.expr) -> bool:
    """Whether an argument is a literal of ours or has become Content."""
    if isinstance(held, ast.Constant):
        return True
    if isinstance(held, ast.Call):
        return isinstance(held.func, ast.Name) and held.func.id in OURS
    # A calculator's title is declared in the program, never typed by a maker.
    return ast.unparse(held) == "answer.calculator.title"


def unsafe_places(source: str, name: str = "source") -> list[str]:
    """Where text could be read as markup, as `file:line`."""
    found = []
    for node in ast.walk(ast.parse(source)):
        held: list[ast.expr] = []
        if isinstance(node, ast.Call):
            called = node.func
            title = called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")
            if title in HITS:
                held = node.args[HITS[title] : HITS[title] + 1]
                held += [word.value for word in node.keywords if word.arg == "help"]
            elif title in READ_MARKUP or (isinstance(called, ast.Attribute) and title in METHODS):
                held = [*node.args[:1], *(word.value for word in node.keywords if word.arg == "content")]
        elif isinstance(node, ast.Assign):
            named = [target for target in node.targets if isinstance(target, ast.Attribute)]
            held = [node.value] if any(target.attr in ATTRIBUTES for target in named) else []
        found += [f"{name}:{node.lineno}" for value in held if not safe(value)]  # type: ignore[attr-defined]
    return found


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_no_widget_is_given_text_that_it_would_read_as_markup(path: Path) -> None:
    assert unsafe_places(path.read_text(encoding="utf-8"), path.name) == []


@pytest.mark.parametrize(
    "source",
    [
        "Label(name)",
        "Static(f'about {name}')",
        "self.query_one('#a', Static).update(text)",
        "self.app.notify(str(fault))",
        "pane.border_title = project.name",
        "Hit(score, words, run)",
        "Hit(score, _found(matcher, words), run, help=title)",
        "Hit(score, matcher.highlight(words), run)",
        "Content.from_markup(text)",
    ],
)
def test_the_guard_sees_every_such_place(source: str) -> None:
    assert unsafe_places(source)


@pytest.mark.parametrize(
    "source",
    [
        "Label(Content(name))",
        "Static('')",
        "message.update(Content(text))",
        "Hit(score, _found(matcher, words), run, help=answer.calculator.title)",
        "Content.from_markup('[b]$name[/b]', name=name)",
    ],
)
def test_the_guard_lets_content_and_words_of_ours_pass(source: str) -> None:
    assert unsafe_places(source) == []
