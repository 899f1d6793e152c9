"""Panels onto mats: one colour a mat, few mats, nothing left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from bigsign.errors import Fault, InputError
from bigsign.nesting.boxes import Placed, Pose, Room, poses
from bigsign.nesting.exact import MOST_ITEMS, Budget, fewest_mats, least_mats
from bigsign.nesting.packing import Layout, best_by_rules, layout_key, used_length
from bigsign.nesting.records import Affine, MatLayout, Nesting, NestItem
from bigsign.project import Cutter
from bigsign.tolerances import TOLERANCES

__all__ = ["nest"]


def nest(
    items: Sequence[NestItem],
    cutter: Cutter,
    *,
    turning: str = "quarter",
    spacing: float = 3.0,
    mirrored: bool = False,
    colours: Iterable[str] = (),
    trim_apart: float = TOLERANCES.trim_apart,
) -> Nesting:
    """Lay every item on a mat.

    Items are packed by the boxes of their film and trim. Up to eight of a colour are laid on fewest mats by
    trying all ways; more by rule, with a bound. Quarter turns are used only where they save a mat or length.

    Parameters
    ----------
    items : panels in the sign's frame, ids distinct; trims hold their film.
    cutter : the mat's usable area and border.
    turning : "quarter" or "none".
    spacing : least distance between films, mm.
    mirrored : whether the film is cut from its back.
    colours : the order of colours; colours not named follow in order of first item.
    trim_apart : least distance between trim outlines, mm.

    Raises
    ------
    InputError
        Naming every item that fits no mat even alone, its size and the mat's.
    """
    room = Room.of(cutter, spacing, trim_apart, mirrored, turning)
    options = [poses(item, room) for item in items]
    whole = [poses(item, replace(room, whole_trims=True)) for item in items]
    faults = [_too_big(item, cutter) for item, found in zip(items, options, strict=True) if not found]
    if len({item.id for item in items}) < len(items):
        raise ValueError("two items of one id")
    if faults:
        raise InputError(faults)
    order = list(dict.fromkeys((*colours, *(item.colour for item in items))))
    mats: list[MatLayout] = []
    to_mat: dict[str, Affine] = {}
    bound, proved = 0, True
    for colour in order:
        own = [n for n, item in enumerate(items) if item.colour == colour]
        if not own:
            continue
        layout, least, sure = _fewest(own, options)
        # trim outlines on the usable area can be kiss-cut: worth having wherever it costs no mat
        if all(whole[n] for n in own):
            kind, _, _ = _fewest(own, whole)
            layout = kind if len(kind) <= len(layout) else layout
        bound += least
        proved = proved and sure
        for mat in layout:
            placed = sorted(mat, key=lambda p: (round(p.y, 3), round(p.x, 3)))
            mats.append(_mat(colour, placed, items, cutter))
            to_mat.update((items[p.item].id, p.to_mat) for p in placed)
    return Nesting(tuple(mats), to_mat, bound, proved)


def _fewest(own: Sequence[int], options: Sequence[Sequence[Pose]]) -> tuple[Layout, int, bool]:
    """Return the layout, how many mats are needed at least, and whether the layout has no more."""
    budget = Budget()
    least = least_mats(own, options)
    layout = best_by_rules(own, options)
    if len(layout) > least and len(own) <= MOST_ITEMS:
        searched = fewest_mats(own, options, budget)
        if layout_key(searched) < layout_key(layout):
            layout = searched
        if not budget.ran_out:
            least = len(layout)
    layout = _compact(layout, options)
    return layout, least, len(layout) <= least


def _compact(layout: Layout, options: Sequence[Sequence[Pose]]) -> Layout:
    """Lay each mat anew by itself: with the mats' contents settled, another order may take less length."""
    out: list[tuple[Placed, ...]] = []
    for mat in layout:
        again = best_by_rules([p.item for p in mat], options)
        out.append(min((mat,), again, key=layout_key)[0] if len(again) == 1 else mat)
    return tuple(sorted(out, key=lambda mat: min(p.item for p in mat)))


def _mat(colour: str, placed: Sequence[Placed], items: Sequence[NestItem], cutter: Cutter) -> MatLayout:
    used = round(min(max(used_length(placed), 0.0), cutter.length), 6)
    return MatLayout(colour, tuple(items[p.item].id for p in placed), used)


def _too_big(item: NestItem, cutter: Cutter) -> Fault:
    fx0, fy0, fx1, fy1 = item.film.bounds
    tx0, ty0, tx1, ty1 = item.trim.bounds
    film = f"film {fx1 - fx0:.1f} × {fy1 - fy0:.1f} mm, trim {tx1 - tx0:.1f} × {ty1 - ty0:.1f} mm"
    sheet = f"{cutter.width + 2 * cutter.border:.1f} × {cutter.length + 2 * cutter.border:.1f} mm"
    return Fault(
        f"{item.id} fits no mat even alone ({film})",
        f"cutter {cutter.name} mat {cutter.mat}",
        f"film within {cutter.width:.1f} × {cutter.length:.1f} mm and trim within {sheet}",
    )
