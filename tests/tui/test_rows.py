"""The rows of a stage's page: they fit any width, keep their keys, and show what a maker typed as text."""

from __future__ import annotations

from datetime import datetime
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from tests.tui.conftest import EVENING, EXAMPLES
from workshop.plan import Plan, plan
from workshop.project.loading import load_text
from workshop.project.project import Project
from workshop.standing import standing
from workshop.tui.lines import text_of, width_of
from workshop.tui.rows import (
    AcceptedRow,
    CautionRow,
    CheckRow,
    FindingRow,
    GroupRow,
    HeadingRow,
    Row,
    TableRow,
    TextRow,
    can_stand_on,
    rows,
    scope_for,
    scopes,
)

texts = st.text(max_size=80) | st.text(st.sampled_from("ab 漢字\u200d\u0301é[]/\t\n\x1b\u202e"), max_size=80)
widths = st.integers(20, 150)
narrowest = 28
"""Cells that a page has on a terminal of thirty columns."""


@cache
def made(name: str) -> Plan:
    """The plan of an example."""
    text = (EXAMPLES / name).read_text(encoding="utf-8")
    return plan(load_text(text, name))


def pages(held: Plan, *, opened: bool, now: datetime = EVENING) -> list[tuple[Row, ...]]:
    """Every page of every stage; with `opened`, all calculators open."""
    state = standing(held, now)
    every = frozenset(
        f"{answer.calculator.id}@{answer.subject}" for stage in held.stages for answer in stage.answers
    )
    return [
        rows(stage, state, scope, held.project, None, every if opened else frozenset())
        for stage in held.stages
        for scope in scopes(stage)
    ]


def too_wide(page: tuple[Row, ...], width: int) -> list[str]:
    """The lines of a page that are wider than the page."""
    return [text_of(held) for row in page for held in row.lines(width) if width_of(held) > width]


@pytest.mark.parametrize("name", ["tarn-bench.toml", "gannet-shelf.toml"])
@pytest.mark.parametrize("opened", [False, True], ids=["closed", "open"])
def test_every_page_of_the_examples_fits_any_width(name: str, opened: bool) -> None:
    for page in pages(made(name), opened=opened):
        for width in (narrowest, 40, 51, 76, 130):
            assert too_wide(page, width) == []


@pytest.mark.parametrize("name", ["tarn-bench.toml", "gannet-shelf.toml"])
def test_no_two_rows_of_a_page_share_a_key(name: str) -> None:
    for page in pages(made(name), opened=True):
        keys = [row.key for row in page]
        assert len(keys) == len(set(keys))


@pytest.mark.parametrize("name", ["tarn-bench.toml", "gannet-shelf.toml"])
def test_every_check_stands_on_one_page_of_its_stage(name: str) -> None:
    held = made(name)
    state = standing(held, EVENING)
    for stage in held.stages:
        folded = frozenset[str]()
        listed: list[str] = []
        for scope in scopes(stage):
            page = rows(stage, state, scope, held.project, None, folded)
            shut = frozenset(row.key for row in page if isinstance(row, GroupRow) and not row.open)
            page = rows(stage, state, scope, held.project, None, shut)
            listed += [row.check.key for row in page if isinstance(row, CheckRow)]
        assert sorted(listed) == sorted(check.key for check in stage.checks)


@pytest.mark.parametrize("name", ["tarn-bench.toml", "gannet-shelf.toml"])
def test_every_calculator_stands_on_a_page_that_is_there(name: str) -> None:
    for stage in made(name).stages:
        known = scopes(stage)
        for answer in stage.answers:
            assert scope_for(answer.subject, known) in [scope.path for scope in known]


def test_state_is_a_glyph_or_a_word_and_never_colour_alone() -> None:
    for page in pages(made("tarn-bench.toml"), opened=False):
        for row in page:
            words = text_of(row.lines(60)[0])
            if isinstance(row, CheckRow):
                settled = "◐" if row.check.again else "◇" if row.check.not_needed else "■"
                assert words.startswith(settled if row.check.settled or row.check.again else "□")
            elif isinstance(row, FindingRow):
                assert any(word in words for word in ("note", "warn", "STOP"))
            elif isinstance(row, AcceptedRow):
                assert "accepted" in words


@given(texts, texts, widths)
def test_a_heading_a_hint_a_caution_and_a_table_line_fit_any_width(text: str, more: str, width: int) -> None:
    listed: tuple[Row, ...] = (
        HeadingRow("head", text, more),
        TextRow("text", text),
        CautionRow("care", text),
        TableRow("table", text),
        GroupRow("group", title=text, done=1, total=2, open=True),
    )
    assert too_wide(listed, width) == []
    assert not any(can_stand_on(row) for row in listed if isinstance(row, HeadingRow | TextRow | TableRow))


def bench() -> Project:
    """The bench as it is shipped."""
    return made("tarn-bench.toml").project


@settings(max_examples=25)
@given(texts.filter(str.strip), widths)
def test_whatever_reason_was_given_its_rows_fit(reason: str, width: int) -> None:
    project = bench().with_value(
        ("record", "accepted", "wood-wet", "ash-narrow", "reason"), reason.replace("\r", " ")
    )
    held = plan(project)
    stage = held.stage("stock-prep")
    page = rows(stage, standing(held, EVENING), scopes(stage)[0], project, None, frozenset())
    accepted = next(row for row in page if isinstance(row, AcceptedRow))
    assert all(width_of(line) <= width for line in accepted.lines(width))
    assert cell_len(text_of(accepted.lines(5000)[0])) >= len("accepted")
