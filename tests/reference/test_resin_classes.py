"""The table of resin classes."""

from dataclasses import fields

import pytest

from workshop.reference.resin_classes import (
    ResinClass,
    Spread,
    UnknownResinClass,
    all_resin_classes,
    resin_class,
    sources,
)


def test_there_are_five_classes_and_only_polyester_is_indicative() -> None:
    known = [kind.id for kind in all_resin_classes()]
    assert known == ["fast-coating", "laminating", "medium-casting", "slow-casting", "polyester"]
    assert [kind.id for kind in all_resin_classes() if kind.indicative] == ["polyester"]


@pytest.mark.parametrize("kind", all_resin_classes(), ids=lambda kind: str(kind.id))
def test_every_spread_is_above_zero_and_names_its_source(kind: ResinClass) -> None:
    for field in fields(kind):
        value = getattr(kind, field.name)
        if isinstance(value, Spread):
            assert value.mean > 0 and value.sd > 0
            assert sources()[field.name]


def test_a_slower_class_gives_less_heat() -> None:
    # The shop's order of classes, from coatings to deep pours: common practice, no source.
    fast, medium, slow = (resin_class(name) for name in ("fast-coating", "medium-casting", "slow-casting"))
    assert fast.rate.mean > medium.rate.mean > slow.rate.mean
    assert fast.heat.mean > medium.heat.mean > slow.heat.mean
    assert fast.usual_depth < medium.usual_depth < slow.usual_depth


def test_an_unknown_class_names_those_that_are_known() -> None:
    with pytest.raises(UnknownResinClass, match='"deep" is not known; write one of fast-coating'):
        resin_class("deep")
