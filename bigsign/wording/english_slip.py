"""The English catalogue, third part: the slip budget, in plan.json and on its page."""

from __future__ import annotations

__all__ = ["SLIP"]

SLIP: dict[str, str] = {
    # advice
    "slip.fine": "No special care.",
    "slip.may": "Check this gap before rubbing down.",
    "slip.shows.edge": "Set panel {n} by a strip of card cut to this gap, laid beside panel {other}.",
    "slip.shows.butt": "Before rubbing panel {n} down, tape it beside panel {other} and even out this gap by eye.",
    "slip.shows.marks": "Hold panel {n} with tape at both marks, and look at this gap before rubbing down.",
    # the page
    "title.slip": "Slip budget",
    "slip.note": "how far off each gap may turn out",
    "slip.limits": "No panel is laid quite true. Here each may end up {offset} off across, {offset} off up or down, "
    "and {tilt} out of level from end to end of its longer side.",
    "slip.figures": "Each figure is the error to expect in a gap, in mm; hardly a gap is off by more than twice that. "
    "In brackets: the worst case, with every slip at its limit.",
    "slip.grey": "Framed: the way that the panels’ pages go. What to do is said for that way alone. Grey: by this way "
    "the error may well show, for twice of it is more than a quarter of the gap (common practice, no source). Joins "
    "inside words stand first: eyes catch them first.",
    "slip.own": "{way}: {advice}",
    "slip.tape": "{tape} That is not in the figures: both panels of a join share it.",
    # also on the set-out
    "tape.error": "Your tape itself may be off by {error} over {over} ({rule}): measure all with the same one.",
    "tape.handbook_44": "NIST Handbook 44, 5.52",
    "tape.class_ii": "2014/32/EU, class II",
    "slip.join": "Join",
    "slip.panels": "Panels",
    "slip.gap": "Gap",
    "slip.edge": "From the edges",
    "slip.butt": "Butted",
    "slip.marks": "By marks",
    "slip.do": "What to do",
    "slip.between": "{a} and {b}",
    "slip.laps": "laps {overlap}",
    "slip.meets": "edge to edge",
    "slip.expected": "{rss} ({worst})",
    "slip.creep": "Butted or laid by marks, panels creep: each takes over the slips of those before it. The panel "
    "farthest off its place is then to be expected {butt} mm off ({butt_worst} mm at worst) if butted, {marks} mm "
    "({marks_worst} mm) by marks, {edge} mm ({edge_worst} mm) from the edges.",
    "slip.ways": "From the edges: each panel is measured for itself. Butted: each is laid against the neighbour that "
    "is up at its tightest join. By marks: each is laid midway on the register marks of all its neighbours that are "
    "up.",
}
