"""Stage 6, fill: every void found, cut back to hard, filled proud and flushed."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.conditions import has_lights
from workshop.stages.rules import fill_cure

STAGE = Stage(
    id="fill",
    title="Fill",
    purpose="Find every void, fill it hard and flush",
    checks=(
        Check("voids-marked", "Mark every void under raking light", Over.FACE, group="find"),
        Check(
            "voids-sorted",
            "Sort them: pinhole, crack, pit, soft, hollow-sounding",
            Over.FACE,
            group="find",
            after=("voids-marked",),
        ),
        Check(
            "soft-cut-back", "Cut soft spots back to hard", Over.FACE, group="fill", after=("voids-sorted",)
        ),
        Check(
            "cracks-dammed", "Dam cracks from underneath", Over.FACE, group="fill", after=("voids-sorted",)
        ),
        Check("tint-matched", "Match the tint on an offcut", Over.CASTING, group="fill"),
        Check(
            "deep-voids-refilled",
            "Refill deep voids within the resin's own depths",
            Over.FACE,
            group="fill",
            after=("soft-cut-back", "cracks-dammed", "tint-matched"),
        ),
        Check(
            "filled-proud",
            "Fill proud and let it cure before you plane",
            Over.FACE,
            group="fill",
            after=("soft-cut-back", "cracks-dammed", "tint-matched", "deep-voids-refilled"),
            timer=TimerSpec("fill-cure", "Fill cure", fill_cure, "Dent it with a nail; hard: plane it"),
        ),
        Check(
            "filled-flush",
            "Flush it with a plane or a hard block",
            Over.FACE,
            group="flush",
            after=("filled-proud",),
        ),
        Check(
            "second-round",
            "Do a second round after sanding",
            Over.FACE,
            group="flush",
            after=("filled-flush",),
        ),
        Check(
            "lights-after-fill",
            "Test the lights after the fill",
            Over.CASTING,
            group="flush",
            after=("filled-flush",),
            applies=has_lights,
        ),
    ),
    cautions=(
        "Thin glue on cotton heats up: keep it off your sleeves and rags.",
        "Too much accelerator whitens the fill and is flammable: mist it once, away from any flame near you.",
        "Glue bonds skin and eyes in seconds: wear goggles and gloves that you can drop.",
        "Read the glue's, the accelerator's and the resin's safety data sheets: they rule over these lines.",
    ),
)
