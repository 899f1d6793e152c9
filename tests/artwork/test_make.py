"""From blocks to artwork: pieces, known lines, the pieces that hold each glyph, overlaps, all faults at once."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from shapely import union_all

from bigsign.artwork import Artwork, make_artwork
from bigsign.errors import InputError
from bigsign.project import DrawingSpec, LetteringSpec
from tests.artwork.lettering_samples import block, font
from tests.planning import project_of

LEAF = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
<path d="M0 0H40V50H0Z" fill="#228822"/><path d="M60 0H100V50H60Z" fill="#aa2222"/></svg>"""


def drawing(centre: tuple[float, float], data: bytes = LEAF) -> DrawingSpec:
    return DrawingSpec("leaf.svg", data, None, None, centre, {}, "[[artwork]] 1")


def made(*blocks: LetteringSpec | DrawingSpec) -> Artwork:
    return make_artwork(replace(project_of(1000, 1000), blocks=blocks))


def test_every_glyph_knows_its_pieces_and_they_hold_it() -> None:
    """In separate letters and in connected ones, where several glyphs share a piece."""
    for name in ("Anton", "Pacifico"):
        artwork = made(block("Oyster jam", "i\u00e9%", font=font(name), colour="#000000"))
        shapes = {piece.id: piece.shape for piece in artwork.pieces}
        held: set[str] = set()
        for line in artwork.known:
            for glyph in line.glyphs:
                holding = union_all([shapes[piece] for piece in glyph.pieces])
                assert glyph.outline.difference(holding).area < 1e-6
                assert all(shapes[piece].intersection(glyph.outline).area > 1e-6 for piece in glyph.pieces)
                held.update(glyph.pieces)
        assert held == set(shapes)


def test_connected_letters_share_a_piece_and_dotted_ones_have_several() -> None:
    script = made(block("Welcome", font=font("Pacifico"), colour="#000000"))
    (line,) = script.known
    assert len(script.pieces) == 1  # all six joins of this word hold in this face
    assert [glyph.pieces for glyph in line.glyphs] == [("p001",)] * 7
    plain = made(block("i%", colour="#000000"))
    assert [len(glyph.pieces) for glyph in plain.known[0].glyphs] == [2, 3]


def test_lettering_blocks_are_counted_and_keep_their_colours() -> None:
    artwork = made(
        block("EGGS", centre=(300.0, 200.0), colour="#000000"),
        drawing((300.0, 500.0)),
        block("JAM", "TEA", centre=(300.0, 800.0), colour="#aa2222", turn=90.0),
    )
    assert [(line.text, line.block, line.angle) for line in artwork.known] == [
        ("EGGS", 0, 0.0), ("JAM", 1, 90.0), ("TEA", 1, 90.0)
    ]  # fmt: skip
    colours = {piece.id: piece.colour for piece in artwork.pieces}
    for line, colour in zip(artwork.known, ["#000000", "#aa2222", "#aa2222"], strict=True):
        assert {colours[piece] for glyph in line.glyphs for piece in glyph.pieces} == {colour}
    drawn = [piece for piece in artwork.pieces if piece.source is not None]
    assert [piece.colour for piece in drawn] == ["#228822", "#aa2222"]
    assert [piece.shape.area for piece in drawn] == pytest.approx([2000, 2000])
    assert [finding.code for finding in artwork.findings] == []


def test_blocks_that_overlap_are_warned_of_with_their_pieces() -> None:
    artwork = made(block("EGGS", colour="#000000", where="first"), block("JAM", colour="#aa2222", where="second"))
    (finding,) = [finding for finding in artwork.findings if finding.code == "fit-overlap"]
    assert "first" in finding.message
    assert "second" in finding.message
    held = {piece.id: piece for piece in artwork.pieces if piece.id in finding.pieces}
    assert {piece.colour for piece in held.values()} == {"#000000", "#aa2222"}


def test_lines_of_a_block_that_run_into_each_other_are_warned_of() -> None:
    """Tails of the first line reach the heads of the next, and become one piece with them."""
    close = made(block("gypsum", "HARBOUR", leading=0.7, colour="#000000"))
    (finding,) = [finding for finding in close.findings if finding.code == "fit-overlap"]
    assert "'gypsum'" in finding.message
    assert "'HARBOUR'" in finding.message
    shared = {glyph.text for line in close.known for glyph in line.glyphs if set(glyph.pieces) & set(finding.pieces)}
    assert {"g", "H"} <= shared
    assert made(block("gypsum", "HARBOUR", leading=1.4, colour="#000000")).findings == ()


def test_an_ornament_of_another_colour_takes_no_glyph() -> None:
    """A plate beneath lettering of its own colour is one piece with it; of another colour it is not."""
    plate = LEAF.replace(b"#228822", b"#000000")
    over = made(drawing((0.0, 0.0), plate), block("I", colour="#aa2222", centre=(-30.0, 0.0), cap_height=30.0))
    assert len(over.pieces) == 3
    same = made(drawing((0.0, 0.0), plate), block("I", colour="#000000", centre=(-30.0, 0.0), cap_height=30.0))
    assert len(same.pieces) == 2


def test_the_faults_of_all_blocks_come_together() -> None:
    with pytest.raises(InputError) as caught:
        made(block("EGGS \u5b57", where="first"), drawing((0.0, 0.0), b"<svg"), block("  ", where="third"))
    assert [fault.where.split()[0] for fault in caught.value.faults] == ["first", "[[artwork]]", "third"]


def test_the_same_project_gives_the_same_artwork() -> None:
    blocks = (block("Seed Library", font=font("Lobster"), colour="#000000"), drawing((0.0, 300.0)))
    assert made(*blocks) == made(*blocks)


def test_importing_the_room_loads_no_shaper_nor_xml_parser() -> None:
    code = (
        "import sys, bigsign.artwork; "
        "print([name for name in ('uharfbuzz', 'fontTools', 'lxml', 'svgelements', 'pathops') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
