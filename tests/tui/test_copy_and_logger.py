"""Copies are written beside the project, and a logger's file joins the record while the build is open."""

from pathlib import Path

from tests.tui.conftest import Start


async def test_a_drawing_is_written_beside_the_project(start: Start, bench: Path) -> None:
    async with start() as shop:
        await shop.press("c")
        assert "Write out" in shop.dump() and "bench-drawing.svg" in shop.dump()
        await shop.press("down", "enter")
        await shop.until(lambda: "Written" in shop.message(), "the drawing")
        written = bench.with_name("bench-drawing.svg").read_text(encoding="utf-8")
        assert written.startswith(("<?xml", "<svg")) and 'data-piece="p1"' in written


async def test_new_readings_of_a_logger_join_the_record_and_undo_leaves_them(
    start: Start, bench: Path
) -> None:
    text = bench.read_text(encoding="utf-8").replace("[shop]\n", '[shop]\nlogger = "shop.csv"\n')
    bench.write_text(text, encoding="utf-8")
    log = bench.with_name("shop.csv")
    log.write_text("time,temperature\n2026-03-09 20:30,14.2\n", encoding="utf-8")
    async with start() as shop:
        await shop.until(lambda: "14.2" in str(shop.project.document["record"]["logged"]), "the log")
        lines = len(shop.project.file.record.logged["shop"])
        with log.open("a", encoding="utf-8") as more:
            more.write("2026-03-09 20:35,14.1\n")
        shop.build.look_at_log()
        await shop.until(lambda: len(shop.project.file.record.logged["shop"]) > lines, "the next row")
        await shop.press("u")
        assert "14.1" in str(shop.project.document["record"]["logged"])
        assert "14.1" in (await shop.saved()).record.logged["shop"][-1].text


async def test_a_logged_peak_becomes_a_test_pour_of_the_resin(start: Start) -> None:
    async with start() as shop:
        await shop.press("f")
        assert "No peak of seat/strip is logged yet" in shop.message()
        await shop.press("left", "f")
        (pour,) = shop.project.file.resin["slow-blue"].test_pours
        assert pour.depth is not None and pour.depth.text == "6.2 mm"
        assert pour.peak is not None and pour.peak.text == "20.9 °C"
        await shop.press("f")
        assert "already" in shop.message()
        await shop.press("u")
        assert not shop.project.file.resin["slow-blue"].test_pours
