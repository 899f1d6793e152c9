"""Cut files: one SVG a mat, at real size in mm, with nothing in it but what is cut.

The frame is the mat's usable area, x right, y down. Panels stand in their order of work; of each panel first
the film, holes before outlines, then its register marks and its trim lines, so that nothing comes loose before it is
cut.
"""

from __future__ import annotations

from shapely import affinity
from shapely.geometry import MultiPolygon

from bigsign.output.paths import line_data, number, path_data, polygons, transform_points
from bigsign.plan_records import MatSheet, Panel, Plan

__all__ = ["cut_svg", "film_on_mat"]

#: Width of the line a trim is drawn with, mm; only its middle is cut.
HAIRLINE = "0.1"


def film_on_mat(panel: Panel) -> MultiPolygon:
    """Return a panel's film in the frame of its mat."""
    a, b, c, d, e, f = panel.to_mat
    return affinity.affine_transform(panel.film, [a, c, b, d, e, f])


def _film_group(panel: Panel) -> list[str]:
    lines = [f'<g id="panel-{panel.number}" fill="{panel.colour}">']
    lines.extend(f'<path d="{path_data(part, holes_first=True)}"/>' for part in polygons(film_on_mat(panel)))
    return [*lines, "</g>"]


def _marks_group(plan: Plan, panel: Panel) -> list[str]:
    a, b, c, d, e, f = panel.to_mat
    laid = [affinity.affine_transform(mark.path, [a, c, b, d, e, f]) for mark in plan.marks_of(panel)]
    paths = [f'<path d="{path_data(part)}"/>' for mark in laid for part in polygons(mark)]
    return [f'<g id="marks-{panel.number}" fill="{panel.colour}">', *paths, "</g>"] if paths else []


def _trim_group(panel: Panel) -> list[str]:
    data = [line_data(transform_points(line, panel.to_mat)) for line in panel.trim_lines]
    paths = [f'<path d="{d}"/>' for d in data if d]
    if not paths:
        return []
    head = f'<g id="trim-{panel.number}" fill="none" stroke="#000000" stroke-width="{HAIRLINE}">'
    return [head, *paths, "</g>"]


def cut_svg(plan: Plan, mat: MatSheet) -> bytes:
    """Return the cut file of one mat of a plan.

    The page is the usable area in mm; no transforms, no units but the page's own.
    """
    width, length = number(mat.width, 4), number(mat.length, 4)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{length}mm" '
        f'viewBox="0 0 {width} {length}">',
    ]
    for panel in sorted((plan.panel(name) for name in mat.panels), key=lambda p: p.number):
        lines.extend(_film_group(panel))
        lines.extend(_marks_group(plan, panel))
        lines.extend(_trim_group(panel))
    return ("\n".join([*lines, "</svg>"]) + "\n").encode("utf-8")
