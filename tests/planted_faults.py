"""A project that is right, and what can be wrong in it: faults that have nothing to do with each other.

Each slot is a line (or a file) of the project; each fault takes the place of one slot's line and is known again by
a pattern of what must be said of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

__all__ = ["FAULTS", "NATURAL", "Planted", "write_project"]

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"><path d="M0 0H9V9Z"/></svg>'

RIGHT = """
-            [sign]
name         name = "Porch board"
revision     revision = "A"
width        width = "40 in"
height       height = "48 in"
margin       margin = "1/2 in"
reference    reference = ["left", "top"]
sign_extra   # nothing more of the board
-            [cutter]
use          use = "desktop-12"
mat          mat = "12x24"
turning      turning = "quarter"
-            [film]
kind         kind = "adhesive"
-            [[lettering]]
lines        lines = ["FRESH EGGS"]
font         font = "Anton"
cap_height   cap_height = "2 in"
leading      leading = 1.2
align        align = "left"
turn         turn = 0
stacked      stacked = false
colour       colour = "black"
centre       centre = ["10 in", "20 in"]
block_extra  # nothing more of this block
-            [[lettering]]
lines2       lines = ["& HONEY"]
height2      height = "2 in"
axes2        font = "Dancing Script"
-            [[artwork]]
file         file = "leaf.svg"
art_width    width = "3 in"
colours      colours = {"#ffffff" = "none"}
-            [[artwork]]
file2        file = "egg.svg"
-            [plan]
policy       policy = "words"
clearance    clearance = "1 mm"
weed_box     weed_box = true
tape_step    tape_step = "1/16 in"
paper        paper = "letter"
keep         keep = [["FRESH"]]
break_after  break_after = ["FRESH"]
templates    template_panels = [1]
-            [seams]
angle        angle = 20
overlap      overlap = "1/4 in"
-            [weights]
weights      panels = 2
-            [slip]
tilt         tilt = "1 mm"
-            [marks]
marks        use = "auto"
mark_size    size = "8 mm"
-            [site]
surface      surface = "painted"
street       street = true
foot         foot = "40 in"
-            [reading]
words        words = ["LEAF"]
end          # the end
"""


@dataclass(frozen=True, slots=True)
class Planted:
    """A fault: its slot, the line it puts there, and a pattern of what must be said."""

    slot: str
    line: str
    said: str


FAULTS = [
    Planted(*(part.strip() for part in row.split(" | ")))
    for row in r"""
name | name = 3 | name is 3
name | name = "Sam "the egg"" | ends it
revision | revision = "A | a quote is missing
revision | revision = "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA" | revision has 63 characters
width | width = 40 | 40 has no unit
width | width = “40 in” | quotes are curly
width | # no width | board's width is missing
width | width = "40,5 in" | '40,5 in' is not a length.*40.5 in
width | width = | no value
height | height "48 in" | = is missing
height | heigth = "48 in" | unknown key 'heigth'
height | height = "-48 in" | height is '-48 in'
margin | margin = "-1 in" | margin is '-1 in'
margin | margin = 1/2" | without quotes
reference | reference = ["up", "down"] | reference is
sign_extra | colour = "red" | unknown key 'colour'
sign_extra | some words that mean nothing | no key with a value
sign_extra | margin = "3 in" | margin stands twice
use | use = "desktop-13" | no cutter 'desktop-13'
use | # no cutter | no cutter is given
mat | mat = "99x99" | no mat '99x99'
mat | mat = 7 | mat is 7
turning | turning = "half" | turning is 'half'
turning | turning = "any" | not built yet
kind | kind = "vinyl" | kind is 'vinyl'
kind | kind = "heat" | film kind = "heat" is not built yet
lines | lines = ["蛋"] | no '蛋'
lines | lines = [] | phrase is empty
lines | # no lines | lines is missing
lines | lines = ["FRESH\tEGGS"] | tab
lines | lines = ["FRESH \u202eEGGS"] | right-to-left override
lines | lines = ["FRESH", "EGGS] | a quote is missing
font | font = "C:\Users\fresh.ttf" | backslash
font | font = "gone.ttf" | no font file 'gone.ttf'
font | font = "broken.ttf" | 'broken.ttf' is no font|'broken.ttf' is cut short
font | font = "Antom" | no font 'Antom'
cap_height | # no size | no size is given
cap_height | cap_height = "2 px" | '2 px' is not a length
leading | leading = 1,2 | decimal comma
leading | leading = 99 | leading is 99
align | align = "middle" | align is 'middle'
turn | turn = 90° | has a unit
turn | turn = nan | turn is nan
stacked | stacked = no | true and false
colour | colour = #ff0000 | without quotes
colour | colour = "blakc" | 'blakc' is no colour
centre | centre = ["10 in"] | centre has 1 parts
centre | centre = ["10 in", "20"] | '20' is not a length
block_extra | height = "3 in" | cap_height and height are given
block_extra | spaceing = 3 | unknown key 'spaceing'
lines2 | lines = "& HONEY" | lines is '& HONEY'
lines2 | lines = ["蜜"] | no '蜜'
height2 | height = "0 in" | height is '0 in'
axes2 | axes = {wght = 9000} | no axis 'wght'|axis wght is 9000
file | file = "gone.svg" | 'gone.svg' is not there
file | file = "../leaf.svg" | outside the project's folder
file | # no file | file is missing
file | file = "picture.svg" | PNG picture
art_width | width = "3 in" and more | words after the value
art_width | height = "1 in" ; width = "2 in" | two keys stand on one line
colours | colours = {"#ffffff": "none"} | a : for a =
colours | colours = {"white" = "wite"} | 'wite' is no colour
file2 | file = 'art\egg.svg' | backslashes
policy | policy = "word" | policy is 'word'
clearance | clearance = "1 mm" "2 mm" | \[plan\] clearance
weed_box | weed_box = "yes" | weed_box is 'yes'
tape_step | tape_step = "1/3 in" | no step of a tape
paper | paper = "a5" | paper is 'a5'
keep | keep = ["FRESH"] | list of lists
break_after | break_after = [" "] | break_after holds an empty text
templates | template_panels = [0] | no panel's number
angle | angle = 80 | angle is 80
overlap | overlap = "9 in" | an overlap of
weights | panels = 0 | no weight is above 0
weights | panels = -4 | panels is -4
tilt | tilt = "x" | 'x' is not a length
marks | use = "maybe" | use is 'maybe'
mark_size | size = "1 mm" | register marks of 1 mm
surface | surface = "bare"\nold_paint = true | old_paint is true
street | street = "sometimes" | street is 'sometimes'
foot | foot = "-1 in" | foot is '-1 in'
words | words = [""] | words holds no text or an empty one
end | [stock] | \[stock\] is not built yet
end | [colour] | unknown key 'colour', .* known here: sign
end | [sign] | the table \[sign\] stands twice
end | [plan | plan\] stands twice|other brackets
cutters.toml | [mine]\nmats = 3 | 'mine' has no mats
cutters.toml | [mine] mats = | cutters.toml
encoding | utf-16 | saved as UTF-16
""".strip().splitlines()
]


#: (hiding, hidden): the second can't be told before the first is mended.
NATURAL = {
    ("use", "mat"), ("cutters.toml", "use"), ("font", "lines"), ("cap_height", "block_extra"),
    ("block_extra", "cap_height"),
}  # fmt: skip


def write_project(folder: Path, planted: Sequence[Planted] = ()) -> Path:
    """Write the project with faults planted, at most one a slot, and return its file."""
    by_slot = {one.slot: one.line for one in planted}
    rows = [row.split(None, 1) for row in RIGHT.strip().splitlines()]
    lines = [by_slot.get(slot, line).replace("\\n", "\n") if slot in by_slot else line for slot, line in rows]
    (folder / "leaf.svg").write_text(SVG)
    (folder / "egg.svg").write_text(SVG)
    (folder / "picture.svg").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(40))
    (folder / "broken.ttf").write_bytes(b"\0\1\0\0\0\x09")
    (folder / "cutters.toml").write_text(by_slot.get("cutters.toml", "").replace("\\n", "\n"))
    file = folder / "porch.toml"
    file.write_bytes("\n".join(lines).encode(by_slot.get("encoding", "utf-8")))
    return file
