"""The cases: each a project file with the drawings it names, or the words of a command, made by rule and by seed."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

from bigsign.fonts import find_font

__all__ = ["CASES", "Case"]

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}">{inside}</svg>'


@dataclass(frozen=True, slots=True)
class Case:
    """What a case is, how its files are laid into a folder, and the words of the command that is run there."""

    name: str
    lay: Callable[[Path], None]
    words: tuple[str, ...] = ("plan", "sign.toml", "-o", "out")


def _drawing(inside: str, width: float, w: int = 1000, h: int = 1000, mat: str = "12x12") -> Callable[[Path], None]:
    def lay(folder: Path) -> None:
        (folder / "drawing.svg").write_text(SVG.format(w=w, h=h, inside=inside))
        board = f'width = "{width * 1.2} mm"\nheight = "{width * 1.2 * max(1, h / w)} mm"'
        art = f'[[artwork]]\nfile = "drawing.svg"\nwidth = "{width} mm"\n'
        (folder / "sign.toml").write_text(f'[sign]\n{board}\n[cutter]\nuse = "desktop-12"\nmat = "{mat}"\n{art}')

    return lay


def _words(lines: list[str], font: str, cap: float, board: tuple[float, float], cutter: str) -> Callable[[Path], None]:
    def lay(folder: Path) -> None:
        quoted = ", ".join(f'"{line}"' for line in lines)
        (folder / "sign.toml").write_text(
            f'[sign]\nwidth = "{board[0]} mm"\nheight = "{board[1]} mm"\n[cutter]\n{cutter}\n'
            f'[[lettering]]\nlines = [{quoted}]\nfont = "{font}"\ncap_height = "{cap} mm"\n'
        )

    return lay


def _dots(count: int, seed: int) -> str:
    rng = random.Random(seed)
    side = math.ceil(math.sqrt(count))
    step = 1000 / side
    spots = ((step * (n % side + 0.5), step * (n // side + 0.5)) for n in range(count))
    return "".join(
        f'<circle cx="{x + rng.uniform(-0.2, 0.2) * step:.2f}" cy="{y:.2f}" r="{step / 8:.3f}"/>' for x, y in spots
    )


def _rectangles(count: int) -> str:
    return "".join(
        f'<rect x="{n / count * 400:.3f}" y="{n / count * 300:.3f}" width="500" height="500"'
        f' fill="#{n % 2 * 255:02x}0000"/>'
        for n in range(count)
    )


def _markers(count: int) -> str:
    spots = " ".join(f"{1000 * n / count:.2f},{500 + 300 * math.sin(n):.2f}" for n in range(count))
    return (
        '<defs><marker id="m" markerWidth="6" markerHeight="6" refX="3" refY="3"><circle cx="3" cy="3" r="3"/></marker>'
        f'</defs><polyline points="{spots}" fill="none" stroke="#000" stroke-width="1" marker-mid="url(#m)"/>'
    )


def _comb(teeth: int, runs: int) -> str:
    """A single outline that runs up and down, then across its teeth so many times and back."""
    up = " ".join(f"{1000 * n / teeth:.2f},{0 if n % 2 else 1000}" for n in range(teeth))
    across = " ".join(f"{0 if n % 2 else 1000},{1000 * (n + 0.5) / runs:.2f}" for n in range(runs))
    return f'<polygon points="{up} {across}"/>'


def _lattice(teeth: int) -> str:
    """A single outline whose teeth up and teeth across cross each other everywhere."""
    up = " ".join(f"{1000 * n / teeth:.2f},{0 if n % 2 else 1000}" for n in range(teeth))
    across = " ".join(f"{0 if n % 2 else 1000},{1000 * n / teeth:.2f}" for n in range(teeth))
    return f'<polygon points="{up} {across}"/>'


def _rules(count: int) -> str:
    rules = "".join(f"svg g.k{n} > .c{n} {{fill: #{n % 24:02x}8040}}" for n in range(count))
    side = math.ceil(math.sqrt(count))
    step = 1000 / side
    shapes = "".join(
        f'<rect class="c{n}" x="{step * (n % side):.2f}" y="{step * (n // side):.2f}" width="{step / 2:.2f}"'
        f' height="{step / 2:.2f}"/>'
        for n in range(count)
    )
    return f"<style>{rules}</style>{shapes}"


def _wide(length: float) -> Callable[[Path], None]:
    words = " ".join(["FRESH EGGS AND HONEY FROM MARROW LANE"] * 9)
    return _words([words], "Anton", length / len(words) / 0.62, (length, 1000), 'use = "desktop-12"\nmat = "12x24"')


def _letters(count: int) -> Callable[[Path], None]:
    line = ("SEED LIBRARY " * (count // 12 // 100 + 1))[: count // 100]
    return _words([line] * 100, "Anton", 10, (20_000, 4_000), 'use = "desktop-12"\nmat = "12x24"')


def _outlined(text: str, cap: float) -> Callable[[Path], None]:
    """Letters drawn as a line round their outlines, as faces of hollow letters have them."""
    with TTFont(BytesIO(find_font("Archivo Black", Path()).data)) as font:
        glyphs, names, x, inside = font.getGlyphSet(), font.getBestCmap(), 0.0, ""
        for char in text:
            pen = SVGPathPen(glyphs)
            glyph = glyphs[names[ord(char)]]
            glyph.draw(TransformPen(pen, (1, 0, 0, -1, x, 800)))
            inside += f'<path d="{pen.getCommands()}" fill="none" stroke="#000" stroke-width="16"/>'
            x += glyph.width
    return _drawing(inside, x / 700 * cap, int(x), 1000, "12x12")


SMALL = 'name = "small"\nwidth = "150 mm"\nlength = "292 mm"\nborder = "5 mm"'
GEAR = (
    '<path fill-rule="evenodd" d="M500 20l90 140 160-40 40 160 140 90-80 145 60 150-150 60-40 160-165-20-110 120-110'
    '-120-165 20-40-160-150-60 60-150-80-145 140-90 40-160 160 40zM500 330a170 170 0 1 0 .1 0z"/>'
)
CASES = (
    Case("a marker on 20,000 corners, 300 mm", _drawing(_markers(20_000), 300)),
    Case("10,000 tiny dots, 600 mm", _drawing(_dots(10_000, 1), 600)),
    Case("2,900 tiny dots, 600 mm", _drawing(_dots(2_900, 1), 600)),
    Case("50,000 rectangles one over the other in two colours, 300 mm", _drawing(_rectangles(50_000), 300)),
    Case("a comb of 3,000 teeth crossed 3 times, 600 mm", _drawing(_comb(3_000, 3), 600)),
    Case("a comb of 3,000 teeth crossed 60 times, 600 mm", _drawing(_comb(3_000, 60), 600)),
    Case("a comb of 3,000 teeth crossed everywhere, 600 mm", _drawing(_lattice(3_000), 600)),
    Case("4,000 CSS rules on 4,000 shapes, 600 mm", _drawing(_rules(4_000), 600)),
    Case("a sign 100 m long", _wide(100_000)),
    Case("100,000 letters", _letters(100_000)),
    Case("2,900 letters", _letters(2_900)),
    Case(
        "fit of a phrase at 30 in over all cutters",
        lambda folder: None,
        ("fit", "FRESH EGGS AND HONEY", "FROM MARROW LANE", "--font", "Pacifico", "--cap-height", "30 in"),
    ),
    Case("an icon at 24 in", _drawing(GEAR, 609.6)),
    Case("an icon at 120 in", _drawing(GEAR, 3048)),
    Case(
        "two lines of a connected script, capitals of 420 mm",
        _words(["Fresh Honey", "Seed Library"], "Pacifico", 420, (4_000, 2_000), SMALL),
    ),
    Case("an outlined face, capitals of 420 mm", _outlined("FRESH EGGS", 420)),
)
