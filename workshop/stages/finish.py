"""Stage 8, finish: each coat laid zone by zone, its excess off in time, its rags made safe."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.rules import finish_open_time

STAGE = Stage(
    id="finish",
    title="Finish",
    purpose="Lay each coat thin and even, and leave no rag about",
    checks=(
        Check(
            "sample-approved", "Have a sample with resin approved, on an offcut", Over.PROJECT, group="before"
        ),
        Check(
            "cured-for-finish",
            "Check it is cured far enough for the finish",
            Over.CASTING,
            group="before",
            after=("wiped-dry",),
        ),
        Check(
            "dust-free",
            "Let the dust settle, keep the air still",
            Over.COAT,
            group="coat",
            after=("sample-approved", "cured-for-finish"),
        ),
        # 3 K over the dew point: common practice, no source.
        Check("above-dew-point", "Check the surface is 3 K over the dew point", Over.COAT, group="coat"),
        Check("zones-marked", "Mark the zones", Over.COAT, group="coat"),
        Check(
            "amount-measured",
            "Measure the amount by the stated ratio",
            Over.COAT,
            group="coat",
            after=("zones-marked",),
        ),
        Check(
            "zone-by-zone",
            "Work it in zone by zone",
            Over.COAT,
            group="coat",
            after=("dust-free", "above-dew-point", "zones-marked", "amount-measured"),
            timer=TimerSpec(
                "open-time", "Open time of the zone", finish_open_time, "Excess off this zone now"
            ),
        ),
        # A quarter of an hour until the pores have pushed up what they hold: common practice, no source.
        Check(
            "excess-off",
            "Take the excess off before the open time ends",
            Over.COAT,
            group="coat",
            after=("zone-by-zone",),
            timer=TimerSpec("second-wipe", "Second wipe", "15 min", "Wipe a second time"),
        ),
        Check(
            "underside-included",
            "Coat the underside and edges too",
            Over.COAT,
            group="coat",
            after=("zone-by-zone",),
        ),
        Check(
            "wet-patches-wiped",
            "Look for wet patches under raking light",
            Over.COAT,
            group="coat",
            after=("excess-off",),
        ),
        Check("second-wiped", "Wipe a second time", Over.COAT, group="coat", after=("excess-off",)),
        Check(
            "rags-safe",
            "Drown the rags or lay them flat outside",
            Over.COAT,
            group="coat",
            after=("second-wiped",),
        ),
        Check("finish-lot-noted", "Note the lot", Over.COAT, group="coat"),
        # Light use after a day, full cure after a week, until the product's label says more: common practice,
        # no source.
        Check(
            "last-coat-on",
            "Note the day: last coat on, no use yet",
            Over.CASTING,
            group="cure",
            after=("rags-safe",),
            timer=TimerSpec("light-use", "Light use", "24 h", "Light use from here, nothing wet"),
        ),
        Check(
            "light-use-only",
            "Give it light use only until full cure",
            Over.CASTING,
            group="cure",
            after=("last-coat-on",),
            timer=TimerSpec(
                "finish-cure", "Full cure of the finish", "6 d", "Try a drop of water, then use it"
            ),
        ),
    ),
    cautions=(
        "Oily rags set themselves alight within hours: never pile or bin them, drown them in a lidded metal "
        "can of water or lay them flat outside.",
        "Wear gloves and let in fresh air, as your finish's label asks.",
        "Fisheyes mean silicone: stop, and find where you brought it in.",
        "Read the safety data sheets of finish and hardener before you open them: they rule here.",
    ),
)
