"""Words that lead to another sheet: its number is put in once all sheets are laid out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bigsign.sheets.items import Item, Page, Text
from bigsign.sheets.writing import runs_of

__all__ = ["link_targets", "with_sheets"]

NUMBER = "§"


def link_targets(pages: Sequence[Page]) -> dict[str, int]:
    """Return the numbers, from 1, of the sheets that links lead to: the first of each panel, mats, joins."""
    out: dict[str, int] = {}
    for number, page in enumerate(pages, 1):
        if page.panel is not None:
            out.setdefault(f"panel:{page.panel}", number)
        for drawing in page.drawings:
            if drawing.join:
                out[f"join:{drawing.join}"] = number
            elif page.kind == "mat":
                out[f"mat:{drawing.of}"] = number
    return out


def with_sheets(pages: Sequence[Page]) -> list[Page]:
    """Return the pages with the numbers of sheets in the words that lead to them."""
    targets = link_targets(pages)

    def told(item: Item) -> Item:
        if not isinstance(item, Text) or not item.link or NUMBER not in item.string:
            return item
        text = item.string.replace(NUMBER, str(targets[item.link]))
        return replace(item, runs=runs_of(text, item.runs[0].cap, item.runs[0].bold)[0])

    return [replace(page, items=tuple(told(item) for item in page.items)) for page in pages]
