"""The order of work, which numbers the panels.

First the panel with the longest run of flat feet, then the one nearest the board's middle, then left, then top;
next always the unplaced neighbour nearest the first. A panel that another lies upon comes before it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bigsign.artwork.pieces import Artwork
from bigsign.placing.levels import foot_run
from bigsign.placing.place import PlacedPanel
from bigsign.plan_records import Break
from bigsign.splitting.strata import overlaps

__all__ = ["layer_rule", "work_order"]


def layer_rule(
    panels: Sequence[PlacedPanel], artwork: Artwork, laps: Sequence[tuple[str, str]] = ()
) -> dict[str, set[str]]:
    """Return, for each panel, the panels that must be up before it.

    Those with film beneath its own (or lapped by it at a seam: ``laps``, lower and upper), and the frames of its colour
    that go up by themselves.
    """
    before: dict[str, set[str]] = {panel.id: set() for panel in panels}
    holding: dict[str, list[PlacedPanel]] = {}
    for panel in panels:
        for piece in panel.pieces:
            holding.setdefault(piece, []).append(panel)
    for below, above in overlaps(artwork.pieces):
        for lower in holding.get(artwork.pieces[below].id, ()):
            for upper in holding.get(artwork.pieces[above].id, ()):
                if upper is not lower and upper.film.intersects(lower.film):
                    before[upper.id].add(lower.id)
    for lower_id, upper_id in laps:
        before[upper_id].add(lower_id)
    for panel in panels:
        if not panel.frame:
            before[panel.id] |= {
                other.id for other in panels
                if other.frame and other.colour == panel.colour and other.stratum <= panel.stratum
            }  # fmt: skip
    return before


def work_order(
    panels: Sequence[PlacedPanel],
    breaks: Sequence[Break],
    board: tuple[float, float],
    before: Mapping[str, set[str]],
) -> list[str]:
    """Return the panel ids in the order of work.

    Parameters
    ----------
    board : width and height, mm.
    before : for each panel the panels that come first whatever else holds. Where these run in a circle, the
        rule is dropped for the panel it would block.
    """
    middle = (board[0] / 2, board[1] / 2)
    centre = {panel.id: panel.film.envelope.centroid for panel in panels}
    place = {panel_id: (point.x, point.y) for panel_id, point in centre.items()}
    run = {panel.id: foot_run(panel.level) for panel in panels}
    beside: dict[str, set[str]] = {panel.id: set() for panel in panels}
    for part in breaks:
        a, b = part.panels
        beside[a].add(b)
        beside[b].add(a)

    def first_key(panel_id: str) -> tuple[float, float, float, float, str]:
        x, y = place[panel_id]
        return (
            -round(run[panel_id], 1),
            round(_distance(place[panel_id], middle), 1),
            round(x, 1),
            round(y, 1),
            panel_id,
        )

    order: list[str] = []
    waiting = set(place)
    while waiting:
        free = {panel for panel in waiting if not before[panel] & waiting} or waiting
        if not order:
            chosen = min(free, key=first_key)
        else:
            start = place[order[0]]
            near = {panel for panel in free if not beside[panel].isdisjoint(order)} or free
            chosen = min(
                near,
                key=lambda panel: (
                    round(_distance(place[panel], start), 1),
                    *(round(c, 1) for c in place[panel]),
                    panel,
                ),
            )
        order.append(chosen)
        waiting.remove(chosen)
    return order


def _distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)
