"""Stage 9, assembly: frame, joints that let the wood move, wiring, and what goes with the piece."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.conditions import has_fixings, has_frame, has_lights, holes_near_buried_things

_FRAME = (
    Check("cut", "Cut the tube to the list", Over.LEG, group="frame"),
    Check("squared", "Square it, both diagonals alike", Over.LEG, group="frame", after=("cut",)),
    Check("tacked", "Tack it, then measure again", Over.LEG, group="frame", after=("squared",)),
    Check(
        "welded",
        "Weld it",
        Over.LEG,
        group="frame",
        after=("tacked",),
        timer=TimerSpec("fire-watch", "Fire watch", "60 min", "Look for smoke and hot spots, then leave"),
    ),
    Check("dressed", "Dress the welds", Over.LEG, group="frame", after=("welded",)),
    Check("degreased", "Degrease it, once it is cold", Over.LEG, group="frame", after=("dressed",)),
    Check("primed", "Prime it", Over.LEG, group="frame", after=("degreased",)),
    # A day until it stands handling: common practice, no source; the tin's label rules.
    Check(
        "painted",
        "Paint it",
        Over.LEG,
        group="frame",
        after=("primed",),
        timer=TimerSpec("paint-dry", "Paint dries", "24 h", "Try with a fingernail, then dry-fit"),
    ),
    Check(
        "frame-dry-fitted",
        "Dry-fit the frame to the piece",
        Over.PROJECT,
        group="frame",
        after=("painted",),
        applies=has_frame,
    ),
)

_JOINTS = (
    Check(
        "least-thickness",
        "Measure the least thickness at every screw",
        Over.CASTING,
        group="joints",
        applies=has_fixings,
    ),
    Check(
        "cover-over-holes",
        "Lay the cover map over each hole",
        Over.CASTING,
        group="joints",
        applies=holes_near_buried_things,
    ),
    Check(
        "bit-stop-set",
        "Set the bit stop, try it on scrap",
        Over.CASTING,
        group="joints",
        after=("least-thickness", "cover-over-holes"),
        applies=has_fixings,
    ),
    Check(
        "wood-can-move",
        "Leave slots or clearance so the wood can move",
        Over.CASTING,
        group="joints",
        applies=has_fixings,
    ),
    Check(
        "screws-in-wood",
        "Set screws and inserts in wood, never resin or stone",
        Over.CASTING,
        group="joints",
        after=("bit-stop-set", "wood-can-move", "frame-dry-fitted"),
        applies=has_fixings,
    ),
    Check(
        "driven-by-hand",
        "Drive the last turns by hand",
        Over.CASTING,
        group="joints",
        after=("screws-in-wood",),
        applies=has_fixings,
    ),
)

_WIRING = (
    Check(
        "supply-reachable",
        "Keep the supply reachable, vented and fused",
        Over.PROJECT,
        group="wiring",
        applies=has_lights,
    ),
    Check("polarity-checked", "Check the polarity", Over.PROJECT, group="wiring", applies=has_lights),
    Check("strain-relieved", "Fit the strain relief", Over.PROJECT, group="wiring", applies=has_lights),
    Check(
        "lights-run",
        "Run the lights for two hours",
        Over.PROJECT,
        group="wiring",
        after=("supply-reachable", "polarity-checked", "strain-relieved"),
        timer=TimerSpec("lights-run", "Two-hour run", "2 h", "Read the temperature at the strip"),
        applies=has_lights,
    ),
    Check(
        "run-temperature-read",
        "Read the temperature at the end of the run",
        Over.PROJECT,
        group="wiring",
        after=("lights-run",),
        applies=has_lights,
    ),
)

_HAND_OVER = (
    Check(
        "levelled",
        "Level it where it stands",
        Over.PROJECT,
        group="hand-over",
        after=("driven-by-hand", "frame-dry-fitted"),
    ),
    Check("rocked", "Rock it: every foot stays down", Over.PROJECT, group="hand-over", after=("levelled",)),
    Check("tip-tried", "Try how soon it tips", Over.PROJECT, group="hand-over", after=("levelled",)),
    Check("mass-marked", "Mark its mass and centre", Over.PROJECT, group="hand-over"),
    Check("edges-packed", "Pack the edges", Over.PROJECT, group="hand-over", after=("run-temperature-read",)),
    Check("piece-photographed", "Photograph it from all sides", Over.PROJECT, group="hand-over"),
    Check("as-built-map", "Hand over the as-built map", Over.PROJECT, group="hand-over"),
    # Two weeks and a year: common practice, no source.
    Check(
        "care-sheet",
        "Hand over the care sheet",
        Over.PROJECT,
        group="hand-over",
        timer=TimerSpec("retighten", "Retighten", "14 d", "Retighten every screw and bolt"),
    ),
    Check(
        "retightened",
        "Retighten every screw and bolt after a fortnight",
        Over.PROJECT,
        group="hand-over",
        after=("care-sheet",),
        timer=TimerSpec("yearly-look", "Yearly look", "every 365 d", "Look at seams, screws, lights, finish"),
    ),
    Check(
        "looked-at-yearly", "Look it over every year", Over.PROJECT, group="hand-over", after=("retightened",)
    ),
)

STAGE = Stage(
    id="assembly",
    title="Assembly",
    purpose="Join, wire and hand over",
    checks=(*_FRAME, *_JOINTS, *_WIRING, *_HAND_OVER),
    cautions=(
        "Leave mains to someone qualified, to your local code: you work only on the low-voltage side.",
        "Leave welds that bear people to a qualified welder unless you are one.",
        "Never weld steel that was cleaned with chlorinated solvent: its vapour turns to poison gas.",
        "Never weld near solvent or rags, and keep a fire watch for 60 min after your last spark.",
        "Zinc fumes make you ill hours later: take galvanising off before you weld, and weld in fresh air.",
        "Lift with handles, shoes and a clear way, and with as many people as your piece asks for.",
        "Follow the safety data sheets of degreaser, primer and paint: they rule over these lines.",
    ),
)
