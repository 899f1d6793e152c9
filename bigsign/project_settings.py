"""The tables that have defaults for all their keys: [plan], [seams], [weights], [slip], [marks] and [site]."""

from __future__ import annotations

from dataclasses import replace

from bigsign.errors import LengthError
from bigsign.project import Film, MarkSettings, PlanSettings, SeamSettings, Site, SlipSettings, Weights, Wish
from bigsign.toml_table import Table, or_usual
from bigsign.units import TapeStep, parse_tape_step

__all__ = ["marks_table", "plan_table", "seams_table", "site_table", "slip_table", "weights_table"]

LARGEST_OVERLAP = 25.4  # mm
MARK_SIZES = (3.0, 25.4)  # mm: smaller ones can't be weeded


def plan_table(table: Table) -> PlanSettings:
    """Return how the sign is to be parted and printed; faults go to the table's list."""
    policy = table.choice("policy", ("words", "panels", "mats"), "words")
    step = TapeStep()
    text = table.text("tape_step")
    if text is not None:
        try:
            step = parse_tape_step(text)
        except LengthError as error:
            table.fault("tape_step", *_what_and_right(error))
    both = table.flag("both_units", False)
    step = replace(step, both=both)
    defaults = PlanSettings()
    paper = table.choice("paper", ("letter", "a4"), "letter")
    settings = PlanSettings(
        policy=policy,
        clearance=or_usual(table.length("clearance", zero=True), defaults.clearance),
        placement_tolerance=or_usual(table.length("placement_tolerance"), defaults.placement_tolerance),
        trim_margin=or_usual(table.length("trim_margin", zero=True), defaults.trim_margin),
        hinge=table.choice("hinge", ("auto", "top", "centre", "side", "none"), "auto"),
        spacing=or_usual(table.length("spacing", zero=True), defaults.spacing),
        weed_box=table.flag("weed_box", True),
        tape_step=step,
        paper=paper,
        both_units=both,
        wishes=tuple(_wishes(table)),
        language=table.choice("language", ("en", "de"), "en"),
        template_paper=table.choice("template_paper", ("letter", "a4", "tabloid", "a3"), paper),
        template_panels=_template_panels(table),
    )
    table.finish()
    return settings


def _template_panels(table: Table) -> tuple[int, ...]:
    right = "a list of panels' numbers, as [1, 3]"
    found = table.value("template_panels", list, right) or []
    if not all(isinstance(n, int) and not isinstance(n, bool) and n > 0 for n in found):
        table.fault("template_panels", "template_panels holds something that is no panel's number", right)
        return ()
    return tuple(dict.fromkeys(int(n) for n in found))


def _wishes(table: Table) -> list[Wish]:
    out = []
    right = 'a list of lists, as [["FRESH", "EGGS"]]'
    keep = table.value("keep", list, right) or []
    for group in keep:
        good = isinstance(group, list) and group and all(isinstance(t, str) and t.strip() for t in group)
        if not good:
            table.fault("keep", "keep holds something that is no list of texts", right)
        else:
            out.append(Wish("keep", tuple(group), table.where("keep")))
    for key in ("break_after", "no_break_after"):
        texts = table.texts(key, 'a list of texts, as ["FRESH", "HONEY|3"]') or []
        for text in texts:
            if not text.strip():
                table.fault(key, f"{key} holds an empty text", "a word, or an id of `bigsign check`")
        out.extend(Wish(key, (text,), table.where(key)) for text in texts if text.strip())
    return out


def seams_table(table: Table, film: Film) -> SeamSettings:
    """Return how pieces that don't fit are parted; faults go to the table's list."""
    defaults = SeamSettings()
    overlap = table.length("overlap", zero=True)
    if film.kind == "heat" and overlap:
        table.fault("overlap", "heat-applied film is given an overlap", "0, it butts: two layers would show")
    usual = 0.0 if film.kind == "heat" else defaults.overlap
    right = "degrees from 0 to 60"
    found = SeamSettings(
        or_usual(overlap, usual),
        or_usual(table.length("sliver", zero=True), defaults.sliver),
        table.number("angle", defaults.angle, right, lambda value: 0 <= value <= 60),
    )
    if found.overlap > LARGEST_OVERLAP:
        table.fault("overlap", f"an overlap of {found.overlap:g} mm", f"{LARGEST_OVERLAP:g} mm or less")
    table.finish()
    return found


def weights_table(table: Table) -> Weights:
    """Return what counts more than the policy's order; faults go to the table's list."""
    start = len(table.faults)
    right = "a number from 0 to 1000"
    found = [
        table.number(key, 0.0, right, lambda value: 0 <= value <= 1000)
        for key in ("in_word_breaks", "panels", "risk")
    ]
    if not any(found) and len(table.faults) == start:
        table.fault("", "no weight is above 0", "in_word_breaks = 5, panels = 1, risk = 0, for example")
    table.finish()
    return Weights(*found)


def slip_table(table: Table) -> SlipSettings:
    """Return how far panels may end up from their places; faults go to the table's list."""
    defaults = SlipSettings()
    slip = SlipSettings(
        or_usual(table.length("offset", zero=True), defaults.offset),
        or_usual(table.length("tilt", zero=True), defaults.tilt),
    )
    table.finish()
    return slip


def marks_table(table: Table) -> MarkSettings:
    """Return register marks; faults go to the table's list."""
    usual = MarkSettings()
    use = table.choice("use", ("auto", "on", "off"), usual.use)
    size = or_usual(table.length("size"), usual.size)
    if not MARK_SIZES[0] <= size <= MARK_SIZES[1]:
        table.fault("size", f"register marks of {size:g} mm", f"{MARK_SIZES[0]:g} mm to {MARK_SIZES[1]:g} mm")
    table.finish()
    return MarkSettings(use, size)


def site_table(table: Table) -> Site:
    """Return what the sign goes on and where; faults go to the table's list."""
    usual = Site()
    surface = table.choice("surface", ("painted", "bare", "glass"), usual.surface)
    right = "true or false; leave it out if you don't know"
    known = {key: table.value(key, bool, right) for key in ("old_paint", "fresh_paint", "hung", "street")}
    for key in ("old_paint", "fresh_paint"):
        if known[key] and surface != "painted":
            table.fault(key, f"{key} is true, but the surface is {surface}", 'surface = "painted", or leave it out')
    solvent = table.flag("solvent", usual.solvent)
    foot = table.length("foot", zero=True)
    table.finish()
    return Site(surface, known["old_paint"], known["fresh_paint"], solvent, foot, known["hung"], known["street"])


def _what_and_right(error: LengthError) -> tuple[str, str]:
    """Return the parts of a message "X is not Y" or "X is not a length: Y"."""
    what, colon, right = str(error).rpartition(": ")
    if colon:
        return what, right
    what, _, right = str(error).partition(" is not ")
    return f"{what} is no step of a tape", right
