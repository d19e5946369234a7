"""Stage 2, form: a sound, level, tight box, and pieces that fit in it and stay down."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.conditions import has_lights
from workshop.stages.rests import form_size, pieces_in_place
from workshop.stages.rules import sealant_cure

STAGE = Stage(
    id="form",
    title="Form",
    purpose="Build a form that is flat, level, tight and lets go",
    checks=(
        Check("board-sound", "Check the board: sound, no swollen edge", Over.CASTING, group="box"),
        Check(
            "form-sized",
            "Size the form with trim and freeboard",
            Over.CASTING,
            group="box",
            rests_on=form_size,
        ),
        Check("bench-bears", "Check that the bench bears the filled weight", Over.CASTING, group="box"),
        Check(
            "floor-flat",
            "Lay the floor on battens, flat by a straightedge",
            Over.CASTING,
            group="box",
            after=("board-sound", "form-sized", "bench-bears"),
        ),
        Check(
            "fixings-on-wet-bead",
            "Pull each wall onto a wet bead with its fixings",
            Over.CASTING,
            group="box",
            after=("floor-flat",),
            timer=TimerSpec("sealant-cure", "Sealant cure", sealant_cure, "Cured through: test with water"),
        ),
        Check(
            "inner-fillet",
            "Run the inner fillet unbroken and smooth it",
            Over.CASTING,
            group="box",
            after=("fixings-on-wet-bead",),
        ),
        Check(
            "light-holes-sealed",
            "Place, sleeve and seal the light holes",
            Over.CASTING,
            group="box",
            after=("fixings-on-wet-bead",),
            applies=has_lights,
        ),
        Check(
            "pieces-dry-fitted",
            "Dry-fit the pieces and photograph them",
            Over.CASTING,
            group="fit",
            after=("fixings-on-wet-bead", "light-holes-sealed"),
            rests_on=pieces_in_place,
        ),
        Check(
            "hold-downs-tried",
            "Try each piece's hold-down",
            Over.CASTING,
            group="fit",
            after=("pieces-dry-fitted",),
        ),
        Check(
            "pieces-out",
            "Take the pieces out of the form",
            Over.CASTING,
            group="fit",
            after=("pieces-dry-fitted", "hold-downs-tried"),
        ),
        Check(
            "level-both-ways", "Level the form both ways", Over.CASTING, group="ready", after=("floor-flat",)
        ),
        Check(
            "water-test",
            "Test with water if the board allows, then dry it",
            Over.CASTING,
            group="ready",
            after=("inner-fillet", "light-holes-sealed", "pieces-out", "level-both-ways"),
        ),
        # Flash-off is on the product's label; half an hour is common practice, no source.
        Check(
            "release-agent",
            "Put release agent on the form only, wood out",
            Over.CASTING,
            group="ready",
            after=("pieces-out", "water-test", "faces-covered"),
            timer=TimerSpec(
                "flash-off", "Release agent's flash-off", "30 min", "Dry by touch: wood may go in"
            ),
        ),
        Check(
            "catch-tray-ready", "Have tray, plastic, dam tape and putty in reach", Over.CASTING, group="ready"
        ),
    ),
    cautions=(
        "Release agent on wood kills the bond: keep it off your pieces and your gloves.",
        "Silicone that you smear makes fisheyes later: wipe tools and hands before you touch wood.",
        "Let no flame or spark near spray, and air the shop before you light anything.",
        "Never shim a filled form at one corner: level it before you pour.",
        "Follow the sealant's and the release agent's safety data sheets: they rule over these lines.",
    ),
)
