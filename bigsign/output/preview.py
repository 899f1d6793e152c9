"""The preview: the sign to scale on its board, with break lines and panel numbers, as SVG and PNG."""

from __future__ import annotations

from bigsign.output.paths import path_data
from bigsign.plan_records import Panel, Plan

__all__ = ["preview_png", "preview_svg"]

ACCENT = "#9b2d1f"  # one accent for measures; reads as dark grey without colour
#: Strokes of the figures 0 to 9 in a box 4 wide and 6 high, so that no font is needed.
FIGURES = {
    "0": "M1.2 0H2.8Q4 0 4 1.2V4.8Q4 6 2.8 6H1.2Q0 6 0 4.8V1.2Q0 0 1.2 0Z",
    "1": "M.8 1.2L2.2 0V6",
    "2": "M.1 1.4Q.3 0 2 0Q4 0 4 1.6Q4 2.8 2.6 3.9L0 6H4",
    "3": "M.1 0H3.9L1.9 2.4Q4 2.4 4 4.1Q4 6 2 6Q.4 6 .1 4.8",
    "4": "M3 6V0L0 4.2H4",
    "5": "M3.7 0H.6L.3 2.7Q.9 2.1 2 2.1Q4 2.1 4 4Q4 6 2 6Q.5 6 .1 4.9",
    "6": "M3.6 .5Q3 0 2.2 0Q0 0 0 3.6Q0 6 2 6Q4 6 4 4.1Q4 2.3 2.1 2.3Q.4 2.3 0 3.8",
    "7": "M0 0H4L1.5 6",
    "8": "M2 2.8Q.3 2.8 .3 1.4Q.3 0 2 0Q3.7 0 3.7 1.4Q3.7 2.8 2 2.8Q0 2.8 0 4.4Q0 6 2 6Q4 6 4 4.4Q4 2.8 2 2.8Z",
    "9": "M.4 5.5Q1 6 1.8 6Q4 6 4 2.4Q4 0 2 0Q0 0 0 1.9Q0 3.7 1.9 3.7Q3.6 3.7 4 2.2",
}


def preview_svg(plan: Plan) -> str:
    """Return the preview as SVG, 1 user unit = 1 mm of the sign, with a border for the panel numbers."""
    width, height = plan.sign.width.mm, plan.sign.height.mm
    size = max(min(width, height) * 0.035, max(width, height) * 0.012, 4.0)
    pad = 3.2 * size
    hair = size * 0.05
    whole = f'width="{width + 2 * pad:.3f}" height="{height + 2 * pad:.3f}"'
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width + 2 * pad:.3f}mm" height="{height + 2 * pad:.3f}mm" '
        f'viewBox="{-pad:.3f} {-pad:.3f} {width + 2 * pad:.3f} {height + 2 * pad:.3f}">',
        f'<rect x="{-pad:.3f}" y="{-pad:.3f}" {whole} fill="#fff"/>',
        f'<path d="{path_data(plan.sign.outline)}" fill="#fbfaf7" stroke="#333" stroke-width="{2 * hair:.3f}"/>',
    ]
    for piece in plan.pieces:
        edge = f' stroke="#777" stroke-width="{hair:.3f}"' if _pale(piece.colour) else ""
        out.append(f'<path d="{path_data(piece.shape)}" fill="{piece.colour}" fill-rule="evenodd"{edge}/>')
    for part in plan.breaks:
        points = " ".join(f"{x:.3f},{y:.3f}" for x, y in part.line)
        # on dark film the line is lost without a pale one beneath it
        out.append(f'<polyline points="{points}" fill="none" stroke="#fff" stroke-width="{3.6 * hair:.3f}"/>')
        out.append(
            f'<polyline points="{points}" fill="none" stroke="{ACCENT}" stroke-width="{2 * hair:.3f}" '
            f'stroke-dasharray="{size * 0.5:.3f} {size * 0.25:.3f}"/>'
        )
    out.extend(_numbers(plan, size, hair))
    out.append("</svg>")
    return "\n".join(out) + "\n"


def _numbers(plan: Plan, size: float, hair: float) -> list[str]:
    """Return the panel numbers in circles in the border, each with a leader to its panel.

    A panel's circle goes to the nearer of the four sides in the middle of its trim, moved on along the side where
    another circle stands already.
    """
    width, height = plan.sign.width.mm, plan.sign.height.mm
    taken: list[tuple[float, float]] = []
    out = []
    for panel in plan.panels:
        x, y, foot = _place(panel, width, height, size, taken)
        taken.append((x, y))
        leader = f'<path d="M{x:.3f} {y:.3f}L{foot[0]:.3f} {foot[1]:.3f}" stroke='
        out.append(f'{leader}"#fff" stroke-width="{3 * hair:.3f}"/>{leader}"#555" stroke-width="{hair:.3f}"/>')
        out.append(
            f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{size:.3f}" fill="#fff" stroke="#222" '
            f'stroke-width="{1.5 * hair:.3f}"/>'
        )
        text = str(panel.number)
        scale = size * (0.17 if len(text) == 1 else 0.13)
        left = x - scale * (len(text) * 4 + (len(text) - 1) * 1.6) / 2
        for at, figure in enumerate(text):
            out.append(
                f'<path d="{FIGURES[figure]}" transform="translate({left + at * 5.6 * scale:.3f} {y - 3 * scale:.3f}) '
                f'scale({scale:.4f})" fill="none" stroke="#111" stroke-width=".9" stroke-linejoin="round" '
                'stroke-linecap="round"/>'
            )
    return out


def _place(
    panel: Panel, width: float, height: float, size: float, taken: list[tuple[float, float]]
) -> tuple[float, float, tuple[float, float]]:
    x0, y0, x1, y1 = panel.trim.bounds
    mid_x, mid_y = (x0 + x1) / 2, (y0 + y1) / 2
    out = 1.7 * size
    sides = sorted(
        [
            (y0, (mid_x, -out), (mid_x, y0)),
            (height - y1, (mid_x, height + out), (mid_x, y1)),
            (x0, (-out, mid_y), (x0, mid_y)),
            (width - x1, (width + out, mid_y), (x1, mid_y)),
        ]
    )
    for _, (x, y), foot in sides:
        for step in range(9):
            shift = (step + 1) // 2 * (1 if step % 2 else -1) * 2.3 * size
            at = (x + shift, y) if y in (-out, height + out) else (x, y + shift)
            if all((at[0] - a) ** 2 + (at[1] - b) ** 2 > (2.2 * size) ** 2 for a, b in taken):
                return at[0], at[1], foot
    return sides[0][1][0], sides[0][1][1], sides[0][2]


def _pale(colour: str) -> bool:
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue > 215


def preview_png(svg: str, pixels: int = 1600) -> bytes:
    """Return the preview as PNG, its longer side ``pixels`` long."""
    import re

    import resvg_py

    sizes = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', svg)
    assert sizes is not None
    width, height = float(sizes[1]), float(sizes[2])
    if width >= height:
        return bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, width=pixels))
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, height=pixels))
