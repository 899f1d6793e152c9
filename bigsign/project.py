"""The project: every choice a person made, and every file those choices name, read once.

Reading (TOML, fonts, drawings) lives in :mod:`bigsign.project_file`; this module holds the typed records.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from shapely.geometry import Polygon

from bigsign.units import TapeStep

__all__ = [
    "Board",
    "Cutter",
    "DrawingSpec",
    "Film",
    "FontFile",
    "Given",
    "LetteringSpec",
    "MarkSettings",
    "PlanSettings",
    "Project",
    "SeamSettings",
    "Site",
    "SlipSettings",
    "Weights",
    "Wish",
]


@dataclass(frozen=True, slots=True)
class Board:
    """The board: width and height in mm, its outline in the sign's frame (a rectangle unless one was given)."""

    width: float
    height: float
    outline: Polygon
    margin: float = 0.0
    reference: tuple[str, str] = ("left", "top")


@dataclass(frozen=True, slots=True)
class Cutter:
    """A machine with one mat: usable width × length in mm, and the sheet's border beyond them on each side."""

    name: str
    mat: str
    width: float
    length: float
    border: float = 6.35


@dataclass(frozen=True, slots=True)
class Film:
    """``kind``: adhesive or heat; ``side``: face or inside."""

    kind: str = "adhesive"
    side: str = "face"


@dataclass(frozen=True, slots=True)
class FontFile:
    """A font as read: the name asked for, its bytes, the face's index in a collection, a named instance's axes."""

    name: str
    data: bytes = field(repr=False)
    index: int = 0
    axes: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class LetteringSpec:
    """A [[lettering]] block. Exactly one of cap_height, width, height is set (mm). ``where`` names it in faults."""

    lines: tuple[str, ...]
    font: FontFile
    axes: Mapping[str, float]
    cap_height: float | None
    width: float | None
    height: float | None
    leading: float
    align: str
    turn: float
    stacked: bool
    colour: str
    centre: tuple[float, float]
    where: str


@dataclass(frozen=True, slots=True)
class DrawingSpec:
    """An [[artwork]] block. ``colours`` maps "#rrggbb" of the drawing to "#rrggbb" of film, or to "none"."""

    file: str
    data: bytes = field(repr=False)
    width: float | None
    height: float | None
    centre: tuple[float, float]
    colours: Mapping[str, str]
    where: str


@dataclass(frozen=True, slots=True)
class Wish:
    """A fixed wish: ``kind`` is keep, break_after or no_break_after; ``texts`` as the project spells them."""

    kind: str
    texts: tuple[str, ...]
    where: str


@dataclass(frozen=True, slots=True)
class SeamSettings:
    """The [seams] table: overlap of adhesive film, least reach of a part from its seam, mm; least angle, degrees."""

    overlap: float = 6.35
    sliver: float = 6.0
    angle: float = 15.0


@dataclass(frozen=True, slots=True)
class Weights:
    """The [weights] table: what a break in a word, a panel and a unit of risk cost, instead of their usual order."""

    in_word_breaks: float
    panels: float
    risk: float


@dataclass(frozen=True, slots=True)
class Given:
    """Words given for lettering read from outlines: texts in reading order, and where they stand in the file."""

    words: tuple[str, ...]
    where: str


@dataclass(frozen=True, slots=True)
class PlanSettings:
    """The [plan] table; lengths in mm. ``template_paper`` "": as ``paper``; ``template_panels`` none: all."""

    policy: str = "words"
    clearance: float = 1.0
    placement_tolerance: float = 1.0
    trim_margin: float = 6.35
    hinge: str = "auto"
    spacing: float = 3.0
    weed_box: bool = True
    tape_step: TapeStep = field(default_factory=TapeStep)
    paper: str = "letter"
    both_units: bool = False
    wishes: tuple[Wish, ...] = ()
    seams: SeamSettings = field(default_factory=SeamSettings)
    weights: Weights | None = None
    template_paper: str = ""
    template_panels: tuple[int, ...] = ()
    language: str = "en"


@dataclass(frozen=True, slots=True)
class SlipSettings:
    """The [slip] table: limits of how far a panel may end up from where it was meant to lie, mm.

    ``offset``: across, and again up or down. ``tilt``: how far the ends of its film's longer side may be out of level
    with each other (measure both ends from the level line and take the difference).
    """

    offset: float = 1.0
    tilt: float = 1.0


@dataclass(frozen=True, slots=True)
class MarkSettings:
    """The [marks] table. ``use``: auto (where films of different colours meet), on (at every join too), off.

    ``size``: side of the square that holds one figure of a mark, mm.
    """

    use: str = "auto"
    size: float = 6.0


@dataclass(frozen=True, slots=True)
class Site:
    """The [site] table: what the sign goes on and where. None: not known.

    ``surface``: painted, bare or glass. ``foot``: height of the board's lower edge above where one stands at work, mm;
    None: on a bench, or standing on the floor. ``hung``: it hangs or meets wind. ``street``: drivers see it.
    """

    surface: str = "painted"
    old_paint: bool | None = None
    fresh_paint: bool | None = None
    solvent: bool = True
    foot: float | None = None
    hung: bool | None = None
    street: bool | None = None


@dataclass(frozen=True, slots=True)
class Project:
    """Everything a plan is made from. ``blocks`` bottom to top, in the order the project file has them.

    ``colour_names`` maps "#rrggbb" to the colour as the project spells it. ``sha256`` covers all inputs and
    the version of bigsign. ``file`` is the project file's own name, without a folder.
    """

    name: str
    revision: str
    file: str
    board: Board
    cutter: Cutter
    turning: str
    film: Film
    blocks: tuple[LetteringSpec | DrawingSpec, ...]
    plan: PlanSettings
    colour_names: Mapping[str, str]
    sha256: str
    slip: SlipSettings = SlipSettings()
    given: Given | None = None
    marks: MarkSettings = MarkSettings()
    site: Site = Site()
