"""Stage 5, flattening: out of the form, rested, both faces cut flat, trimmed clear of what is buried."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.conditions import has_buried_things, has_cable, has_lights
from workshop.stages.rests import trim_lines

STAGE = Stage(
    id="flattening",
    title="Flattening",
    purpose="Cut both faces flat and meet nothing buried",
    checks=(
        Check(
            "centre-hard",
            "Try nail and hardness at the centre",
            Over.CASTING,
            group="out",
            after=("left-until-demould",),
        ),
        Check(
            "temperatures-equal",
            "Wait until inside and shop temperature are equal",
            Over.CASTING,
            group="out",
            after=("left-until-demould",),
        ),
        Check(
            "tail-freed",
            "Free the light tail before any wall",
            Over.CASTING,
            group="out",
            after=("centre-hard",),
            applies=has_cable,
        ),
        Check(
            "walls-off",
            "Take the walls off",
            Over.CASTING,
            group="out",
            after=("centre-hard", "temperatures-equal", "tail-freed"),
        ),
        Check(
            "cable-taped",
            "Coil the cable, tape it to the work out of every path",
            Over.CASTING,
            group="out",
            after=("tail-freed",),
            applies=has_cable,
        ),
        Check(
            "lights-out-of-form",
            "Test the lights out of the form",
            Over.CASTING,
            group="out",
            after=("walls-off",),
            applies=has_lights,
        ),
        Check(
            "grid-read",
            "Read wind, cup and thickness on a grid",
            Over.CASTING,
            group="read",
            after=("walls-off",),
        ),
        Check(
            "cover-from-new-datum",
            "Work the cover out again from the new datum",
            Over.CASTING,
            group="read",
            after=("grid-read",),
            applies=has_buried_things,
        ),
        Check(
            "unsafe-zones-drawn",
            "Draw unsafe zones on the surface",
            Over.CASTING,
            group="read",
            after=("cover-from-new-datum",),
            applies=has_buried_things,
        ),
        # A day with air on both sides, and again after the second face: common practice, no source.
        Check(
            "rested",
            "Rest it on supports, air at both sides",
            Over.CASTING,
            group="read",
            after=("walls-off",),
            timer=TimerSpec("rest", "Rest", "24 h", "Read the wind again, then cut"),
        ),
        Check("rails-level", "Level the rails, fit stops at their ends", Over.CASTING, group="cut"),
        Check(
            "first-pass",
            "Take the first pass shallow, over the high spot",
            Over.FACE,
            group="cut",
            after=("rails-level", "rested", "cable-taped", "unsafe-zones-drawn"),
        ),
        Check(
            "cutter-checked",
            "Check the cutter: cool, sharp, tight",
            Over.FACE,
            group="cut",
            after=("first-pass",),
            timer=TimerSpec("cutter", "Cutter", "every 30 min", "Unplug and check the cutter"),
        ),
        Check(
            "turned",
            "Turn it with enough people, bed it flat",
            Over.CASTING,
            group="cut",
            after=("rails-level", "rested"),
        ),
        Check(
            "second-face",
            "Take the second face to thickness",
            Over.CASTING,
            group="cut",
            after=("turned", "cable-taped", "unsafe-zones-drawn"),
            timer=TimerSpec("second-rest", "Rest after the second face", "24 h", "Read the wind, then trim"),
        ),
        Check(
            "trim-lines-checked",
            "Check the trim lines against buried things",
            Over.CASTING,
            group="trim",
            after=("second-face",),
            applies=has_buried_things,
            rests_on=trim_lines,
        ),
        Check("trimmed", "Trim it", Over.CASTING, group="trim", after=("second-face", "trim-lines-checked")),
        Check("seams-looked-at", "Look at the seams", Over.CASTING, group="trim", after=("trimmed",)),
        Check(
            "lights-after-trim",
            "Test the lights after the trim",
            Over.CASTING,
            group="trim",
            after=("trimmed",),
            applies=has_lights,
        ),
    ),
    cautions=(
        "Stone's crystalline silica, glass and cured-resin dust hurt your lungs: wear a P3 or P100 mask and "
        "a face shield, and run the extraction.",
        "Unplug the machine before you change a cutter.",
        "Never run a cutter faster than the speed stamped on it, whatever else you read.",
        "Resin smears when its chips melt: turn the cutter slower, or give it a sharper edge.",
        "Turn the casting only with enough people, and agree who calls before you lift.",
        "Follow the machine's manual and the resin's safety data sheet: they rule over these lines.",
    ),
)
