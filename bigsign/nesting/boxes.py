"""Items as padded boxes: the one shape the packers work with.

A padded box holds the item's trim outline grown by half the distance that trims keep, and its film grown by
half the distance that films keep. So two padded boxes that do not overlap keep both distances, whatever the
outlines are inside them. Where the box may stand on a mat depends on how far the film and the trim lie inside
it, and so differs from item to item.
"""

from __future__ import annotations

from dataclasses import dataclass

from bigsign.nesting.records import Affine, NestItem
from bigsign.project import Cutter
from bigsign.tolerances import TOLERANCES

__all__ = ["EPSILON", "Placed", "Pose", "Room", "poses"]

#: Boxes that overlap by less than this touch: sums of decimal lengths differ in their last binary digits.
EPSILON = 1e-6

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Room:
    """What a mat offers and asks: usable size, border, distances, and whether the film is cut mirrored.

    ``whole_trims`` keeps trim outlines on the usable area, where the knife can cut them, if they fit there.
    """

    width: float
    length: float
    border: float
    spacing: float
    trim_apart: float
    mirrored: bool
    turning: str
    whole_trims: bool = False

    @classmethod
    def of(cls, cutter: Cutter, spacing: float, trim_apart: float, mirrored: bool, turning: str) -> Room:
        """Return the room that a cutter's mat gives."""
        return cls(cutter.width, cutter.length, cutter.border, spacing, trim_apart, mirrored, turning)


@dataclass(frozen=True, slots=True)
class Pose:
    """An item as drawn or turned a quarter: its padded box's size and where that box's corner may stand.

    The corner is the top-left one. ``linear`` is (a, b, c, d); ``shift`` is what must be added to the corner
    to get (e, f); ``trim_low`` is the lowest y of the trim outline below the corner.
    """

    turned: bool
    width: float
    height: float
    x_low: float
    x_high: float
    y_low: float
    y_high: float
    linear: tuple[float, float, float, float]
    shift: tuple[float, float]
    trim_low: float

    @property
    def area(self) -> float:
        """The padded box's area."""
        return self.width * self.height


@dataclass(frozen=True, slots=True)
class Placed:
    """A pose of item number ``item`` with its padded box's corner at (x, y) in the mat's frame."""

    item: int
    pose: Pose
    x: float
    y: float

    @property
    def to_mat(self) -> Affine:
        """The map from the sign's frame to the mat's, to a millionth of a mm as plan.json writes it."""
        a, b, c, d = self.pose.linear
        return (a, b, c, d, round(self.x + self.pose.shift[0], 6), round(self.y + self.pose.shift[1], 6))


def _turn(box: Box, linear: tuple[float, float, float, float]) -> Box:
    a, b, c, d = linear
    xs = sorted((a * box[0] + c * box[1], a * box[2] + c * box[3]))
    ys = sorted((b * box[0] + d * box[1], b * box[2] + d * box[3]))
    return xs[0], ys[0], xs[1], ys[1]


def _range(
    film: tuple[float, float], trim: tuple[float, float], usable: float, border: float, whole_trims: bool
) -> tuple[float, float]:
    """Return the least and greatest shift that keeps film on the usable area and trim on the sheet."""
    if whole_trims and trim[1] - trim[0] <= usable:
        return -trim[0], usable - trim[1]
    low = max(-film[0], -border - trim[0])
    high = min(usable - film[1], usable + border - trim[1])
    if high < low <= high + TOLERANCES.fit:
        low = high = (low + high) / 2
    return low, high


def poses(item: NestItem, room: Room) -> tuple[Pose, ...]:
    """Return the poses in which an item fits a mat alone, as drawn first; none if it never fits."""
    sign = -1.0 if room.mirrored else 1.0
    drawn = (sign, 0.0, 0.0, 1.0)
    turned = (0.0, sign, -1.0, 0.0)  # mirrored where asked, then a quarter clockwise: (x, y) to (-y, x)
    found: list[Pose] = []
    for linear in (drawn, turned) if room.turning == "quarter" else (drawn,):
        film = _turn(item.film.bounds, linear)
        trim = _turn(item.trim.bounds, linear)
        half_trim, half_film = room.trim_apart / 2, room.spacing / 2
        x0 = min(trim[0] - half_trim, film[0] - half_film)
        y0 = min(trim[1] - half_trim, film[1] - half_film)
        x1 = max(trim[2] + half_trim, film[2] + half_film)
        y1 = max(trim[3] + half_trim, film[3] + half_film)
        x_low, x_high = _range((film[0], film[2]), (trim[0], trim[2]), room.width, room.border, room.whole_trims)
        y_low, y_high = _range((film[1], film[3]), (trim[1], trim[3]), room.length, room.border, room.whole_trims)
        if x_high < x_low or y_high < y_low:
            continue
        found.append(
            Pose(
                turned=linear is turned,
                width=x1 - x0,
                height=y1 - y0,
                x_low=x_low + x0,
                x_high=x_high + x0,
                y_low=y_low + y0,
                y_high=y_high + y0,
                linear=linear,
                shift=(-x0, -y0),
                trim_low=max(trim[3], film[3]) - y0,
            )
        )
    return tuple(found)
