"""Stage 4, lifts: what comes before each pour, each batch of it, and the watch after it.

Time to peak, window and demould have no clock of their own: the one cure timer of a lift runs through them
on cure age, as the shop's temperature has it.
"""

from __future__ import annotations

from typing import Final

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.conditions import (
    has_lights,
    last_lift,
    lift_below_lift,
    lift_covers_lights,
    lift_meets_bed,
    lift_on_lift,
)
from workshop.stages.rests import batch_ratio, lift_height
from workshop.stages.rules import casting_pot_life

STARTED_BY_POURING: Final = ("poured", "leak-watched", "bubbles-passed")
"""Checks whose timers all start when a lift is poured: cure, leak watch and bubbles."""

_BEFORE = (
    Check("hours-attended", "Be there until gel, or name the risk", Over.LIFT, group="before"),
    Check("shop-steady", "Hold the shop steady; know the night's low", Over.LIFT, group="before"),
    Check("resin-tempered", "Temper resin 12 to 24 h; no crystals, in date", Over.LIFT, group="before"),
    Check(
        "all-at-shop-temperature", "Bring wood, stone and form to shop temperature", Over.LIFT, group="before"
    ),
    Check(
        "hold-downs-on",
        "Put the hold-downs on",
        Over.LIFT,
        group="before",
        after=("gloss-scuffed", "release-agent"),
        rests_on=lift_height,
    ),
    Check("stone-washed", "Wash the stone and dry it", Over.LIFT, group="before", applies=lift_meets_bed),
    Check("ends-sealed", "Seal the ends of the strip", Over.LIFT, group="before", applies=lift_covers_lights),
    Check(
        "strip-held-down",
        "Hold the strip down along its length",
        Over.LIFT,
        group="before",
        after=("ends-sealed",),
        applies=lift_covers_lights,
    ),
    Check(
        "tail-labelled",
        "Lead a spare tail out and label it",
        Over.LIFT,
        group="before",
        applies=lift_covers_lights,
    ),
    Check(
        "lights-tested",
        "Test the lights, note the current drawn",
        Over.LIFT,
        group="before",
        after=("ends-sealed", "strip-held-down", "tail-labelled"),
        applies=has_lights,
    ),
    Check(
        "surface-ready",
        "Be inside the window, or scuff, wipe and dry",
        Over.LIFT,
        group="before",
        applies=lift_on_lift,
    ),
    Check("buckets-marked", "Mark the buckets, zero the scale", Over.LIFT, group="before"),
    Check("level-read-again", "Read the level again", Over.LIFT, group="before"),
    Check("leak-kit-ready", "Lay the leak kit ready", Over.LIFT, group="before"),
)

_READY = tuple(check.id for check in _BEFORE)
"""Nothing is poured before all of these; the ones that do not apply to a lift count as met."""

_POUR = (
    Check("weigh-a", "Weigh A and log it", Over.BATCH, group="pour", after=_READY),
    # The pot life starts where B first meets A, and not when the ratio is seen good.
    Check(
        "weigh-b",
        "Weigh B and log it",
        Over.BATCH,
        group="pour",
        after=("weigh-a",),
        timer=TimerSpec(
            "pot-life", "Batch's usable time", casting_pot_life, "Not in form? Spread it in a tray outside"
        ),
    ),
    Check(
        "ratio-shown-good",
        "See the ratio shown good before you mix",
        Over.BATCH,
        group="pour",
        after=("weigh-a", "weigh-b"),
        rests_on=batch_ratio,
    ),
    # Five minutes by the clock: common practice, no source; the resin's sheet rules.
    Check(
        "mixed",
        "Mix by the timer, scraping walls and bottom",
        Over.BATCH,
        group="pour",
        after=("ratio-shown-good",),
        timer=TimerSpec("mix", "Mix", "5 min", "Change the bucket, mix again"),
    ),
    Check("bucket-changed", "Change the bucket and mix again", Over.BATCH, group="pour", after=("mixed",)),
    Check(
        "bucket-not-scraped",
        "Pour; never scrape the bucket into the form",
        Over.BATCH,
        group="pour",
        after=("bucket-changed",),
    ),
    Check("in-form-noted", "Note the time in form", Over.BATCH, group="pour", after=("bucket-not-scraped",)),
    Check(
        "cup-sample-kept", "Keep a cup sample, labelled", Over.BATCH, group="pour", after=("bucket-changed",)
    ),
    Check(
        "poured",
        "Log the lift as poured, all batches in form",
        Over.LIFT,
        group="pour",
        after=(*_READY, "in-form-noted"),
        timer=TimerSpec("cure", "Cure", "cure", "Look up what this state allows"),
    ),
    Check("depth-read", "Read the depth sticks", Over.LIFT, group="pour", after=("poured",)),
    # Bubbles rise for most of an hour in a slow resin: common practice, no source.
    Check(
        "bubbles-passed",
        "Pass the bubbles, quick and light",
        Over.LIFT,
        group="pour",
        after=("poured",),
        timer=TimerSpec("bubbles", "Bubbles", "10 25 45 min", "Pass the bubbles again"),
    ),
)

_AFTER = (
    Check(
        "leak-watched",
        "Watch for leaks until gel",
        Over.LIFT,
        group="after",
        after=("poured",),
        timer=TimerSpec(
            "leak-watch",
            "Leak watch",
            "5 15 30 60 min, then every 1 h until gel",
            "Look for leaks, read a depth stick",
        ),
    ),
    Check("lid-on", "Put the lid on, keep dust off", Over.LIFT, group="after", after=("bubbles-passed",)),
    Check("peak-logged", "Log the peak: how hot and when", Over.LIFT, group="after", after=("poured",)),
    Check(
        "window-open",
        "Window open: try the surface by touch",
        Over.LIFT,
        group="after",
        after=("poured",),
        applies=lift_below_lift,
    ),
    Check(
        "window-used",
        "Pour before the window shuts, or plan a scuff",
        Over.LIFT,
        group="after",
        after=("window-open",),
        applies=lift_below_lift,
    ),
    Check(
        "left-until-demould",
        "Leave it in the form until demould",
        Over.LIFT,
        group="after",
        after=("poured",),
        applies=last_lift,
    ),
)

STAGE = Stage(
    id="lifts",
    title="Lifts",
    purpose="Pour each lift no deeper than is safe, and watch it",
    checks=(*_BEFORE, *_POUR, *_AFTER),
    cautions=(
        "Never add hardener for speed: you lose the ratio and gain heat.",
        "Carry a smoking bucket outside by its handle, gloves on, and leave it: do not stir it, scrape it "
        "out or stand over it, and wear an organic-vapour and particle mask, since neither cartridge alone "
        "protects you.",
        "Put no heater on a rising lift: you feed its exotherm.",
        "Pass the torch quickly, and never near strip, sealant or solvent.",
        "Keep the lights off and the coiled cable unpowered during cure: both add heat that you do not see.",
        "Read the safety data sheets of resin and hardener before you pour: they rule over these lines.",
    ),
)
