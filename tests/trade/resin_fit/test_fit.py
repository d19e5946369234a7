"""What a data sheet and a test pour make of a resin."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trade.cure.resins import COATING, LAMINATING, MEDIUM, SLOW
from tests.trade.resin_fit.blind import poured, predicted
from workshop.reference.resin_classes import all_resin_classes
from workshop.trade.cure.kinetics import Resin
from workshop.trade.resin_fit import Fit, Pour, Sheet, bucket_peak, fit, pot_life_of, prior

HOUR = 3600.0
# The invented resins and the sheets that they were made after: 30 min for 100 g and a film of 4 h; 25 min for
# 100 g and 3.5 h; 150 min for 150 g, 25 mm and 36 h to demould; 8 h for 150 g, 50 mm and 72 h.
INVENTED = {
    "fast-coating": (
        COATING,
        Sheet(
            "fast-coating",
            pot_life=0.5 * HOUR,
            pot_mass=0.1,
            pot_temperature=25.0,
            set_time=4 * HOUR,
            rated_depth=0.006,
        ),
    ),
    "laminating": (
        LAMINATING,
        Sheet("laminating", pot_life=1500.0, pot_mass=0.1, pot_temperature=25.0, set_time=3.5 * HOUR),
    ),
    "medium-casting": (
        MEDIUM,
        Sheet(
            "medium-casting",
            pot_life=2.5 * HOUR,
            pot_mass=0.15,
            rated_depth=0.025,
            demould_time=36 * HOUR,
        ),
    ),
    "slow-casting": (
        SLOW,
        Sheet("slow-casting", pot_life=8 * HOUR, pot_mass=0.15, rated_depth=0.050, demould_time=72 * HOUR),
    ),
}
FAST, DEEP = INVENTED["fast-coating"][1], INVENTED["slow-casting"][1]


def peak(resin: Resin, depth: float, shop: float = 21.0) -> float:
    """°C of a lift in a wide form."""
    return float(poured(resin, depth, shop, 1.0).peak[0])


def off(found: Fit, key: str) -> str:
    """The sentence about one figure."""
    return next(one.text for one in found.residuals if one.key == key)


def test_the_classes_run_from_hot_to_cool_at_the_same_depth() -> None:
    # cure.toml's order of classes is common practice: coatings are never poured deep, slow resins are.
    fast, medium, slow = (
        peak(prior(name).central, 0.025) for name in ("fast-coating", "medium-casting", "slow-casting")
    )
    assert fast > medium + 50.0
    assert medium > slow + 10.0


def test_a_coating_of_6_mm_stays_cool_and_twice_that_runs_away() -> None:
    # Common practice, no source: flood coats are 3 to 6 mm deep, never deeper than the sheet says.
    central = prior("fast-coating").central
    assert peak(central, 0.006) < 60.0
    assert peak(central, 0.0125) > 100.0


def test_100_g_of_a_fast_resin_in_a_cup_come_near_200_degrees() -> None:
    # A trade safety note gives 204 °C for a 100 g mass of mixed epoxy (400 °F). Tolerance 25 K: the note
    # gives neither the resin nor the cup.
    likely = bucket_peak(fit(FAST), 0.1, 25.0).likely
    assert likely == pytest.approx(204.0, abs=25.0)


@pytest.mark.parametrize("name", sorted(INVENTED))
def test_an_invented_resin_lies_inside_the_band_of_its_sheet(name: str) -> None:
    true, sheet = INVENTED[name]
    found = fit(sheet)
    for depth in (0.006, 0.025):
        band = predicted(found, depth, 21.0)
        assert band.low is not None and band.high is not None
        assert band.low <= peak(true, depth) <= band.high


@pytest.mark.parametrize("name", sorted(INVENTED))
def test_the_pot_life_is_found_again_in_its_own_pot(name: str) -> None:
    sheet = INVENTED[name][1]
    assert sheet.pot_life is not None and sheet.pot_mass is not None
    band = pot_life_of(fit(sheet), sheet.pot_mass, sheet.pot_temperature or 23.0)
    assert band.low is not None and band.high is not None
    assert band.low < sheet.pot_life < band.high


def test_a_bigger_or_warmer_bucket_is_sooner_done() -> None:
    found = fit(FAST)
    plain, bigger, warmer = (
        pot_life_of(found, mass, warm).likely or 0.0 for mass, warm in ((0.1, 20.0), (1.0, 20.0), (0.1, 30.0))
    )
    assert bigger < plain
    # Common practice, no source: pot life halves per 10 K.
    assert warmer / plain == pytest.approx(0.5, abs=0.12)


def test_a_pot_life_without_its_mass_is_refused() -> None:
    with pytest.raises(ValueError, match=r"give the mass.*ASTM D2471"):
        fit(Sheet("slow-casting", pot_life=8 * HOUR))


def test_an_unknown_class_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(ValueError, match="write one of fast-coating, laminating"):
        prior("casting")


@pytest.mark.parametrize(
    ("sheet", "words"),
    [
        (Sheet("slow-casting", rated_depth=0.0), "rated depth is 0"),
        (Sheet("slow-casting", demould_time=math.nan), "demould time is nan"),
        (Sheet("slow-casting", set_time=-5.0), "set time is -5"),
        (Sheet("slow-casting", set_time=5.0, set_temperature=300.0), "temperature of a shop"),
    ],
)
def test_a_figure_that_is_none_is_refused(sheet: Sheet, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        fit(sheet)


@pytest.mark.parametrize(
    ("pour", "words"),
    [
        (Pour(20.0, peak=60.0), "either the mass of its cup or the depth"),
        (Pour(20.0, mass=0.1, depth=0.01, peak=60.0), "either the mass of its cup or the depth"),
        (Pour(20.0, mass=0.1, peak=19.0), "does not lie above the 20 °C"),
    ],
)
def test_a_test_pour_that_tells_nothing_is_refused(pour: Pour, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        fit(DEEP, [pour])


def test_polyester_is_indicative_and_says_why() -> None:
    found = prior("polyester")
    assert found.indicative
    assert any("inhibitor" in sentence for sentence in found.assumed)
    assert not any(prior(name).indicative for name in INVENTED)


def test_what_the_sheet_leaves_out_is_said() -> None:
    assert any("23 °C is taken" in sentence for sentence in fit(DEEP).assumed)
    assert any("neither pot life nor set time" in sentence for sentence in prior("laminating").assumed)
    full = Sheet(
        "slow-casting",
        density=1080.0,
        pot_life=8 * HOUR,
        pot_mass=0.15,
        pot_temperature=23.0,
        rated_depth=0.05,
        rated_temperature=23.0,
        demould_time=72 * HOUR,
    )
    assert fit(full).assumed == ()


@pytest.mark.parametrize("lower", [True, False])
def test_a_logged_peak_pulls_the_model_towards_it_and_narrows_the_band(lower: bool) -> None:
    before = fit(DEEP)
    depth = 0.05
    band = predicted(before, depth, 22.0)
    assert band.low is not None and band.likely is not None and band.high is not None
    logged = (band.likely + 2 * band.low) / 3 if lower else (band.likely + band.high) / 2
    after = fit(DEEP, [Pour(22.0, depth=depth, peak=logged)])
    was, now = (peak(found.central, depth, 22.0) for found in (before, after))
    assert abs(now - logged) < 0.5 * abs(was - logged)
    narrowed = predicted(after, depth, 22.0)
    assert narrowed.low is not None and narrowed.high is not None
    assert narrowed.high - narrowed.low < 0.75 * (band.high - band.low)
    assert np.linalg.slogdet(after.covariance)[1] < np.linalg.slogdet(before.covariance)[1]


def test_a_logged_gel_time_moves_the_rate() -> None:
    plain = fit(DEEP)
    early = fit(DEEP, [Pour(22.0, mass=0.2, gel=6 * HOUR)])
    assert float(early.central.k25) > float(plain.central.k25)


def test_figures_that_contradict_each_other_are_named() -> None:
    sheet = Sheet("slow-casting", pot_life=8 * HOUR, pot_mass=0.15, rated_depth=0.05, demould_time=20 * HOUR)
    found = fit(sheet)
    words = off(found, "demould-time")
    assert "your sheet's 20 h demould and its 50 mm depth do not go together; the model lands at" in words
    late = next(one for one in found.residuals if one.key == "demould-time")
    assert late.stated == 20 * HOUR < late.model


def test_figures_that_go_together_need_no_words() -> None:
    assert off(fit(DEEP), "pot-life") == ""
    assert off(fit(FAST), "set-time") == ""


def test_a_coating_may_be_rated_shallower_than_its_heat_asks() -> None:
    # The depth of a coating is a limit of its finish: a thin one tells nothing of the heat.
    thin = fit(Sheet("fast-coating", rated_depth=0.001))
    assert thin.mean == pytest.approx(prior("fast-coating").mean)
    assert thin.covariance == pytest.approx(prior("fast-coating").covariance)


def test_the_draws_are_the_same_every_time_and_begin_with_the_central_resin() -> None:
    found = fit(DEEP)
    first, again = found.draws(), found.draws()
    for name in Resin.__slots__:
        values = np.asarray(getattr(first.resin, name))
        assert values.shape == (40,)
        assert float(values[0]) == pytest.approx(float(getattr(found.central, name)))
        assert np.array_equal(values, getattr(again.resin, name))
    assert first.shop[0] == 0.0
    assert first.shop.std() == pytest.approx(1.0, abs=0.05)
    assert found.draws(1).resin.draws == 1


def test_the_draws_spread_as_judged() -> None:
    # Shop ±1 K, conductivity ±8 %, heat capacity ±6 %, films ±30 %: judgement; the band is never narrower.
    draws = prior("medium-casting").draws(400)
    for values, judged in ((draws.resin.k, 0.08), (draws.resin.cp, 0.06), (draws.film, 0.30)):
        assert judged <= np.log(values).std() < 1.45 * judged


_SPAN = st.none() | st.floats(0.0, 1.0)


@settings(max_examples=12, deadline=None, derandomize=True)
@given(st.sampled_from([kind.id for kind in all_resin_classes()]), st.lists(_SPAN, min_size=6, max_size=6))
def test_no_sheet_is_too_odd(name: str, spans: list[float | None]) -> None:
    def between(span: float | None, low: float, high: float) -> float | None:
        return None if span is None else low * (high / low) ** span

    pot, film, depth, demould, full, glass = spans
    found = fit(
        Sheet(
            name,
            pot_life=between(pot, 120.0, 3 * 86400.0),
            pot_mass=0.2,
            set_time=between(film, 300.0, 10 * 86400.0),
            rated_depth=between(depth, 0.001, 0.2),
            demould_time=between(demould, 1800.0, 30 * 86400.0),
            full_cure=between(full, 3600.0, 60 * 86400.0),
            ultimate_tg=between(glass, 20.0, 180.0),
        )
    )
    stated = [span for span in spans if span is not None]
    assert len(found.residuals) == len(stated)
    assert np.isfinite(found.mean).all()
    assert (np.linalg.eigvalsh(found.covariance) > 0).all()
