"""The English catalogue, fifth part: joins at full size, labels, and what to do when something went wrong."""

from __future__ import annotations

__all__ = ["TROUBLE"]

TROUBLE: dict[str, str] = {
    "title.joins": "Joins at full size",
    "joins.note": "lay them against the work",
    "joins.between": "panel {n} to panel {other}",
    "joins.short": "to panel {other}",
    "joins.elsewhere": "At full size, from sheet § on: {joins}.",
    "joins.seam": "Seam: laps by {overlap}",
    "joins.seam_butt": "Seam: edge to edge",
    "panel.seam": "film laps",
    "panel.seam_butt": "film meets",
    "gap.laps": "overlap",
    "title.labels": "Labels",
    "labels.note": "cut out, tape one on each panel’s transfer tape, its arrow to the board’s top",
    "labels.top": "TOP",
    "labels.no_text": "as drawn",
    "title.trouble": "If something went wrong",
    "trouble.off.head": "A panel is a little off",
    "trouble.off": "Off by {tolerance} or less at its check measure: leave it. Off by more, with the "
    "transfer tape still on: lift the loose side slowly, low and flat, warm it with the hand,"
    " lay it anew from its tape marks. Film that has been rubbed down may stretch when it is "
    "lifted: try at a corner first. Never set the next panel by one that is off: every panel "
    "is measured from the board’s edges, so an error stays where it is.",
    "trouble.tightest": "The gap that shows it first is between panels {a} and {b}: {gap}. See the slip budget.",
    "trouble.tilted.head": "A panel is tilted",
    "trouble.tilted": "Measure both ends of its level line from the reference edge. If they differ by no more "
    "than {tolerance}, leave it; the eye takes a long word by its feet, a single letter by "
    "its stem.",
    "trouble.stretched.head": "Film has stretched",
    "trouble.stretched": "Lay the panel’s page, or its sheet of the template, against it. Stretched film does not "
    "go back: cut this panel again.",
    "trouble.torn.head": "A letter is torn or lost",
    "trouble.torn": "Cut just its panel again. The table says its file and the group in it: open the file in the "
    "cutter’s program, keep that group and the panel’s trim, hide the rest. If only one letter is lost, cut that one, "
    "and set it by the gap to its neighbours and the level line.",
    "trouble.bubbles.head": "Bubbles and creases",
    "trouble.bubbles": "Small bubbles of air go in some days. Prick a large one at its edge with a pin, and "
    "press it out towards the hole. A crease stays: cut the panel again.",
    "trouble.numbers.head": "The numbers are lost",
    "trouble.numbers": "Measure the panel’s film, read its letters, and find both in the table. The arrow on its "
    "label, or the mat’s page, says which way is up.",
    "parting.head": "How the parting was found",
    "parting.class.straight": "straight cuts",
    "parting.class.bent": "straight cuts, and cuts that bend where neighbours hook",
    "parting.class.free": "straight cuts, cuts that bend where neighbours hook, and free ways where neither parts a "
    "group",
    "parting.proved": "{colour}: proved the best there is over {cuts}.",
    "parting.found": "{colour}: the best found over {cuts}; {reasons}.",
    "parting.dropped.budget": "the search was cut short",
    "parting.dropped.areas": "the lettering was cut into areas by rule, each searched by itself",
    "parting.dropped.lines": "not every line that could bend was tried",
    "parting.dropped.seams": "the seams are not proved the shortest",
    "parting.dropped.seam-places": "the seams are the shortest, other places as short were not tried",
    "parting.dropped.seam-rules": "no seam was found that keeps clear of edges and slivers",
    "parting.dropped.mark-room": "room was left for register marks",
    "parting.dropped.mats": "other partings might need fewer mats",
    "trouble.table.number": "No.",
    "trouble.table.text": "Text",
    "trouble.table.size": "Film size",
    "trouble.table.file": "Cut file",
    "trouble.table.group": "Group in it",
}
