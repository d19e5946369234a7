"""Stage 3, seal coat: wood closed with thin resin, so that it neither drinks a lift nor bubbles into it."""

from __future__ import annotations

from workshop.stages.checklist import Check, Over, Stage, TimerSpec
from workshop.stages.rules import seal_pot_life, seal_recoat, seal_window

STAGE = Stage(
    id="seal-coat",
    title="Seal coat",
    purpose="Close every face of wood that meets resin",
    checks=(
        Check(
            "wood-dry-enough",
            "Check that the moisture is within the agreed limit",
            Over.CASTING,
            group="wood",
        ),
        Check(
            "wood-above-dew-point",
            "Check that the wood is warm for the dew point",
            Over.CASTING,
            group="wood",
        ),
        Check("wood-cooling", "Coat while the wood cools, not while it warms", Over.CASTING, group="wood"),
        Check("loose-fibre-gone", "Brush off all loose fibre", Over.CASTING, group="wood"),
        Check(
            "deep-cracks-dammed",
            "Dam deep cracks from underneath",
            Over.CASTING,
            group="wood",
            after=("loose-fibre-gone",),
        ),
        Check("scale-checked", "Check the scale with a known mass", Over.CASTING, group="mix"),
        # The pot life starts in this cup, where B first meets A, and not when you stop stirring.
        Check(
            "seal-weighed",
            "Weigh A, then B, into one cup",
            Over.CASTING,
            group="mix",
            after=(
                "scale-checked",
                "wood-dry-enough",
                "wood-above-dew-point",
                "wood-cooling",
                "deep-cracks-dammed",
            ),
            timer=TimerSpec(
                "seal-pot-life",
                "Seal coat's usable time",
                seal_pot_life,
                "Stop; spread the rest in a tray outside",
            ),
        ),
        # Three minutes by the clock: common practice, no source.
        Check(
            "seal-mixed",
            "Mix, scraping walls and bottom",
            Over.CASTING,
            group="mix",
            after=("seal-weighed",),
            timer=TimerSpec("seal-mix", "Mix the seal coat", "3 min", "Change the cup, mix again"),
        ),
        Check("second-cup", "Mix again in a second cup", Over.CASTING, group="mix", after=("seal-mixed",)),
        # The window is that of the earliest coat, which is hard first.
        Check(
            "end-grain-first",
            "Coat the end grain first",
            Over.CASTING,
            group="coat",
            after=("second-cup",),
            timer=TimerSpec(
                "seal-window", "Seal coat's window shuts", seal_window, "Window shut: scuff before any resin"
            ),
        ),
        Check(
            "bark-pockets-filled",
            "Work it into the bark pockets",
            Over.CASTING,
            group="coat",
            after=("end-grain-first",),
        ),
        Check(
            "faces-covered",
            "Cover every face that meets resin",
            Over.CASTING,
            group="coat",
            after=("end-grain-first",),
            timer=TimerSpec("seal-recoat", "Seal coat recoat", seal_recoat, "Recoat dry patches while tacky"),
        ),
        Check(
            "dry-patches-recoated",
            "Recoat dry patches while tacky",
            Over.CASTING,
            group="coat",
            after=("faces-covered",),
        ),
        Check(
            "puddles-brushed-out",
            "Brush out every puddle",
            Over.CASTING,
            group="coat",
            after=("faces-covered",),
        ),
        Check(
            "seal-cup-kept",
            "Keep and label the leftover cup",
            Over.CASTING,
            group="coat",
            after=("second-cup",),
        ),
        Check(
            "hardness-next-day",
            "Try the hardness next day, cup and wood",
            Over.CASTING,
            group="next day",
            after=("faces-covered", "dry-patches-recoated", "seal-cup-kept"),
        ),
        # Blush goes before the sanding, which would rub it in.
        Check(
            "blush-washed",
            "Wash the blush off with water and let it dry",
            Over.CASTING,
            group="next day",
            after=("hardness-next-day",),
        ),
        # Next day, P120, once it is hard: common practice, no source.
        Check(
            "gloss-scuffed",
            "Scuff the gloss with P120, then vacuum",
            Over.CASTING,
            group="next day",
            after=("hardness-next-day", "blush-washed"),
        ),
    ),
    cautions=(
        "Change your gloves often and never clean skin with solvent: resin and hardener sensitise you.",
        "Spread a hot cup in a tray outside, before it smokes on you.",
        "Uncured dust is the worst dust: you sand only what is hard.",
        "Read the safety data sheets of resin and hardener before you open them: they rule over these lines.",
    ),
)
