"""Which kind of file a drawing is, and its reading."""

import math
import re
from typing import Final

from workshop.outlines.csv_file import read_csv
from workshop.outlines.drawing import LARGEST, MOST_BYTES, Drawing, OutlineError
from workshop.outlines.svg_file import read_svg

__all__ = ["read_outlines"]

_DXF_START: Final = re.compile(rb"\s*(999[ \t]*\r?\n[^\n]*\n\s*)*0[ \t]*\r?\n\s*SECTION")
_TABLES: Final = (".csv", ".tsv", ".txt")


def read_outlines(
    data: bytes, name: str, *, unit_metres: float | None = None, tolerance: float = 0.00005
) -> Drawing:
    """Read the outlines in a file: SVG, DXF or CSV, told by what it holds, then by the ending of its name.

    `unit_metres` is the length of one unit of the drawing's own coordinates (an SVG's user unit, a DXF's
    drawing unit, a number of a table), m, where the file does not say it or says it wrong; without it a
    bare number is a CSS pixel (SVG) or a millimetre (DXF, CSV), and `unit_known` is false. Curves become
    straight sides that keep within `tolerance`, m.
    Raises OutlineError where the file cannot be read, is too large, or holds no outline.
    """
    if len(data) > MOST_BYTES:
        raise OutlineError(
            f"{name} has {len(data) / 1e6:.0f} MB, more than {MOST_BYTES / 1e6:.0f}; "
            "save the outlines alone, without pictures."
        )
    if not data.strip():
        raise OutlineError(f"{name} is empty; save the drawing again.")
    if unit_metres is not None and not 0 < unit_metres <= LARGEST:
        raise OutlineError(f"The unit is {unit_metres:g} m; give one above zero, up to {LARGEST:.0f} m.")
    if not (math.isfinite(tolerance) and tolerance > 0):
        raise OutlineError(f"The tolerance is {tolerance:g} m; give one above zero.")
    kind = _kind(data, name)
    if kind == "svg":
        return read_svg(data, name, unit_metres=unit_metres, tolerance=tolerance)
    if kind == "dxf":
        # ezdxf takes its time to load, and not every shop has it.
        from workshop.outlines.dxf_file import read_dxf

        return read_dxf(data, name, unit_metres=unit_metres, tolerance=tolerance)
    return read_csv(data, name, unit_metres=unit_metres)


def _kind(data: bytes, name: str) -> str:
    start = data[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    ending = "." + name.lower().rpartition(".")[2] if "." in name else ""
    if start.startswith(b"<"):
        return "svg"
    if _DXF_START.match(start) or b"Binary DXF\r\n\x1a" in start[:40]:
        return "dxf"
    if ending in (".svg", ".dxf"):
        return ending[1:]
    if ending in _TABLES:
        return "csv"
    raise OutlineError(f"{name} is neither SVG, DXF nor CSV; save the outline as one of these.")
