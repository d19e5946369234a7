"""Stage 1, stock prep: slabs measured, read, cleaned, laid out and left to settle."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec

STAGE = Stage(
    id="stock-prep",
    title="Stock prep",
    purpose="Know your slabs, then lay out and settle the wood",
    checks=(
        Check(
            "moisture-read",
            "Read the moisture at three places and depths",
            Over.SLAB,
            group="measure",
            timer=TimerSpec("moisture-again", "Second moisture reading", "14 d", "Read the moisture again"),
        ),
        Check(
            "outline-measured",
            "Measure both faces' outlines and the thinnest point",
            Over.SLAB,
            group="measure",
        ),
        Check("defects-looked-for", "Look for metal, insects, rot and wind", Over.SLAB, group="measure"),
        Check("faces-photographed", "Photograph both faces", Over.SLAB, group="measure"),
        Check(
            "moisture-read-again",
            "Read the moisture again after a fortnight",
            Over.SLAB,
            group="measure",
            after=("moisture-read",),
        ),
        Check(
            "way-in-measured",
            "Measure every door, stair and corner to its place",
            Over.PROJECT,
            group="measure",
        ),
        Check(
            "bark-off",
            "Take bark and punk off to sound wood; brush, vacuum",
            Over.SLAB,
            group="clean",
            after=("defects-looked-for", "faces-photographed"),
        ),
        Check("pith-marked", "Mark pith and cracks", Over.SLAB, group="clean", after=("bark-off",)),
        Check(
            "layout-approved",
            "Have the layout approved at full size",
            Over.PROJECT,
            group="lay out",
            after=("outline-measured", "pith-marked", "way-in-measured"),
        ),
        Check(
            "trim-lines-marked",
            "Mark trim lines and buried zones on the wood",
            Over.SLAB,
            group="lay out",
            after=("layout-approved",),
        ),
        Check(
            "pieces-numbered",
            "Number the pieces, arrow which way they lie",
            Over.SLAB,
            group="lay out",
            after=("trim-lines-marked",),
        ),
        Check("saw-reach-tested", "Test the saw's reach on scrap", Over.PROJECT, group="saw"),
        Check(
            "offcuts-kept",
            "Keep offcuts for tests and patches",
            Over.SLAB,
            group="saw",
            after=("pieces-numbered", "saw-reach-tested"),
        ),
        # Two weeks in the shop's air, weighed weekly: common practice, no source.
        Check(
            "acclimatising",
            "Stack it in the shop to acclimatise; weigh it",
            Over.SLAB,
            group="settle",
            after=("bark-off",),
            timer=TimerSpec("acclimatise", "Acclimatise", "7 14 d", "Weigh it; steady means ready"),
        ),
        Check(
            "weight-steady",
            "Weigh it weekly until its weight is steady",
            Over.SLAB,
            group="settle",
            after=("acclimatising",),
        ),
    ),
    cautions=(
        "A wire wheel throws wire: wear a face shield.",
        "Wood dust sensitises you, spalted wood's above all: wear a mask and run the extraction.",
        "Support both sides of a cut: a kerf that closes pinches your blade.",
        "Wet, rotten or spalted wood carries mould: work it outside or under extraction, with your mask on.",
        "Follow the mask's label and your country's limits on dust: no check here clears a job.",
    ),
)
