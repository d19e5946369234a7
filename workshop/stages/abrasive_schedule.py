"""Stage 7, abrasive schedule: grit by grit over the whole surface, with nothing left of the grit before."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.rules import sanding

STAGE = Stage(
    id="abrasive-schedule",
    title="Abrasive schedule",
    purpose="Take each grit over the whole surface, in order",
    checks=(
        Check(
            "grading-agrees",
            "Check the discs' grading against the plan",
            Over.CASTING,
            group="start",
            after=("filled-flush",),
        ),
        Check("edge-profile-tried", "Try the edge profile on scrap", Over.CASTING, group="start"),
        Check(
            "cutter-marks-only",
            "Take only cutter marks off with the start grit",
            Over.CASTING,
            group="start",
            after=("grading-agrees",),
        ),
        Check(
            "pencil-grid",
            "Draw a pencil grid over the surface",
            Over.GRIT,
            group="grit",
            after=("grading-agrees",),
            timer=TimerSpec("grit", "This grit", sanding, "Grid gone everywhere? Vacuum, next grit"),
        ),
        Check("pad-flat", "Keep the pad flat and slow", Over.GRIT, group="grit", after=("pencil-grid",)),
        Check(
            "surface-gone",
            "Sand until the whole grid is gone",
            Over.GRIT,
            group="grit",
            after=("pencil-grid",),
        ),
        Check(
            "edges-same-grit",
            "Take the edges through the same grit",
            Over.GRIT,
            group="grit",
            after=("edge-profile-tried",),
        ),
        Check(
            "grit-vacuumed",
            "Vacuum before the next grit",
            Over.GRIT,
            group="grit",
            after=("surface-gone", "edges-same-grit"),
        ),
        Check(
            "resin-raked",
            "Look along the resin under raking light",
            Over.GRIT,
            group="grit",
            after=("grit-vacuumed",),
        ),
        Check("wood-stopped", "Stop the wood at the finish's limit", Over.CASTING, group="end"),
        # Two hours for the damp to leave the raised fibres: common practice, no source.
        Check(
            "damped",
            "Damp the wood to raise its fibres",
            Over.CASTING,
            group="end",
            after=("wood-stopped",),
            timer=TimerSpec("damp-dry", "Damped wood dries", "2 h", "Dry by touch: knock the fibres back"),
        ),
        Check(
            "fibres-knocked-back",
            "Knock the raised fibres back once dry",
            Over.CASTING,
            group="end",
            after=("damped",),
        ),
        Check(
            "last-grit-by-hand",
            "Do the last grit by hand, along the grain",
            Over.CASTING,
            group="end",
            after=("fibres-knocked-back", "surface-gone"),
        ),
        Check(
            "wiped-dry",
            "Wipe it and leave it to dry wholly",
            Over.CASTING,
            group="end",
            after=("last-grit-by-hand",),
        ),
    ),
    cautions=(
        "Lead the cord over your shoulder, never across a light tail.",
        "Heat clogs the disc and dulls the resin: ease off as soon as it feels warm to you.",
        "Sand wet only with low-voltage or air tools: water and mains can kill you.",
        "Wood and cured-resin dust hurt your lungs: wear a P3 or P100 mask, run the extraction, and follow "
        "the resin's safety data sheet.",
    ),
)
