"""The cascade: which value each style property has on an element.

Order, weakest first: presentation attributes, style sheets by specificity and order, the style attribute,
then what is marked !important in sheets, then in the style attribute (CSS Cascading 4, section 6; SVG 2,
section 6).
Values that a property can't take are passed over as the cascade asks, and reported.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

import cssselect2
import tinycss2
from lxml import etree

from bigsign.artwork.svg_colour import is_colour, is_paint
from bigsign.artwork.svg_document import Document, Element, fault, local_name
from bigsign.artwork.svg_findings import Notes
from bigsign.artwork.svg_values import NUMBER, absolute_units, parse_number
from bigsign.budgets import BUDGETS
from bigsign.findings import Source

__all__ = ["ROOT_STYLE", "Style", "StyleSheets"]

COSTLY_ABOVE: Final = 500
"""Elements above which selectors that look at all siblings or descendants are passed over."""

_LENGTH = rf"(?:{NUMBER})(?:px|in|cm|mm|q|pt|pc|em|rem|ex|ch|%)?"
_URL = r"url\(.*\)"


def _pattern(body: str) -> Callable[[str], bool]:
    compiled = re.compile(body, re.IGNORECASE | re.DOTALL)
    return lambda text: compiled.fullmatch(text) is not None


def _anything(_: str) -> bool:
    return True


_length = _pattern(_LENGTH)
_length_or_auto = _pattern(rf"{_LENGTH}|auto")
_alpha = _pattern(rf"(?:{NUMBER})%?")
_url_or_none = _pattern(rf"none|{_URL}")
_rule = _pattern("nonzero|evenodd")

INHERITED: Final[dict[str, tuple[str, Callable[[str], bool]]]] = {
    "clip-rule": ("nonzero", _rule),
    "color": ("black", is_colour),
    "fill": ("black", is_paint),
    "fill-opacity": ("1", _alpha),
    "fill-rule": ("nonzero", _rule),
    "font-size": ("16px", _anything),
    "marker-end": ("none", _url_or_none),
    "marker-mid": ("none", _url_or_none),
    "marker-start": ("none", _url_or_none),
    "paint-order": ("normal", _pattern(r"normal|(?:fill|stroke|markers)(?:\s+(?:fill|stroke|markers)){0,2}")),
    "stroke": ("none", is_paint),
    "stroke-dasharray": ("none", _pattern(rf"none|{_LENGTH}(?:(?:\s*,\s*|\s+){_LENGTH})*")),
    "stroke-dashoffset": ("0", _length),
    "stroke-linecap": ("butt", _pattern("butt|round|square")),
    "stroke-linejoin": ("miter", _pattern("miter|round|bevel|miter-clip|arcs")),
    "stroke-miterlimit": ("4", _pattern(NUMBER)),
    "stroke-opacity": ("1", _alpha),
    "stroke-width": ("1", _length),
    "visibility": ("visible", _pattern("visible|hidden|collapse")),
}
"""Property → its value at the start, and what it can take; these pass from parent to child."""

OWN: Final[dict[str, tuple[str, Callable[[str], bool]]]] = {
    "clip-path": ("none", _anything),
    "cx": ("0", _length),
    "cy": ("0", _length),
    "display": ("inline", _pattern(r"[a-z-]+(?:\s+[a-z-]+)*")),
    "filter": ("none", _anything),
    "height": ("auto", _length_or_auto),
    "mask": ("none", _anything),
    "mask-type": ("luminance", _pattern("luminance|alpha")),
    "mix-blend-mode": ("normal", _pattern("[a-z-]+")),
    "opacity": ("1", _alpha),
    "overflow": ("", _pattern("visible|hidden|clip|scroll|auto")),
    "r": ("0", _length),
    "rx": ("auto", _length_or_auto),
    "ry": ("auto", _length_or_auto),
    "stop-color": ("black", is_colour),
    "stop-opacity": ("1", _alpha),
    "transform": ("none", _anything),
    "transform-box": ("view-box", _pattern("view-box|fill-box|stroke-box|content-box|border-box")),
    "transform-origin": ("", _anything),
    "vector-effect": ("none", _pattern("none|[a-z-]+(?:\\s+[a-z-]+)*")),
    "width": ("auto", _length_or_auto),
    "x": ("0", _length),
    "y": ("0", _length),
}
"""The same for properties that do not pass on."""

UNREAD: Final = frozenset({
    "all", "clip", "d", "mask-image", "offset", "offset-path", "perspective", "rotate", "scale", "translate",
    "zoom",
})
"""Properties that change what is drawn and are not read from styles."""

ATTRIBUTES: Final = (frozenset(INHERITED) | frozenset(OWN)) - {"transform-box"}
GEOMETRY: Final = frozenset({"cx", "cy", "height", "r", "rx", "ry", "width", "x", "y"})
_VIEWPORTS: Final = frozenset({"svg", "use", "symbol"})
_GLOBAL: Final = frozenset({"inherit", "initial", "unset", "revert", "revert-layer"})
_HARMLESS: Final = frozenset({
    "charset", "counter-style", "font-face", "font-feature-values", "namespace", "page",
})
_SIZES: Final = {
    "xx-small": 9.6, "x-small": 12.0, "small": 13.333, "medium": 16.0, "large": 19.2, "x-large": 24.0,
    "xx-large": 32.0, "xxx-large": 48.0,
}
"""Font sizes by name in px (CSS Fonts 4, section 2.5, from memory); only em lengths depend on them."""


@dataclass(frozen=True, slots=True)
class Style:
    """Computed values on one element: what passes on to children and what doesn't; lengths without em.

    ``from_css`` names the properties that a style, not an attribute, set.
    """

    inherited: Mapping[str, str]
    own: Mapping[str, str]
    font_size: float = 16.0
    from_css: frozenset[str] = frozenset()

    def __getitem__(self, name: str) -> str:
        value = self.own.get(name)
        return self.inherited[name] if value is None else value


_OWN_START: Final[dict[str, str]] = {name: start for name, (start, _) in OWN.items()}
ROOT_STYLE: Final = Style({name: start for name, (start, _) in INHERITED.items()}, _OWN_START)
"""What stands above the root: every property at its start."""


class StyleSheets:
    """All style sheets of a document, ready to be asked about an element."""

    def __init__(self, document: Document, notes: Notes) -> None:
        self._document = document
        self._notes = notes
        self._matcher = cssselect2.Matcher()
        self._rules = 0
        self._cache: dict[Element, tuple[Mapping[str, str], frozenset[str]]] = {}
        self._costly = sum(1 for _ in document.root.iter(etree.Element)) <= COSTLY_ABOVE
        if document.outside_styles:
            self._pass_over("a style sheet outside the file is not read", document.root)
        for element in document.root.iter(etree.Element):
            if local_name(element) == "style":
                self._read_sheet(element)
        self._wrappers: dict[Element, Any] = {}
        if self._rules:
            wrapped = cssselect2.ElementWrapper.from_xml_root(document.root)
            self._wrappers = {wrapper.etree_element: wrapper for wrapper in wrapped.iter_subtree()}
            if sum(self._tries(wrapper) for wrapper in self._wrappers.values()) > BUDGETS.style_tries:
                raise fault(
                    document, document.root, "too many style rules for so many elements",
                    f"at most {BUDGETS.style_tries:,} selectors held against elements, as with a class a shape",
                )
        self.root_font_size = 16.0
        self.root_font_size = self.style(document.root, ROOT_STYLE).font_size

    def _tries(self, wrapper: Any) -> int:
        """Return how many selectors are held against an element: those by its id, classes and name, and the rest."""
        by = self._matcher
        return (
            len(by.id_selectors.get(wrapper.id, ()))
            + sum(len(by.class_selectors.get(name, ())) for name in wrapper.classes)
            + len(by.lower_local_name_selectors.get(wrapper.local_name.lower(), ()))
            + len(by.namespace_selectors.get(wrapper.namespace_url, ()))
            + len(by.lang_attr_selectors)
            + len(by.other_selectors)
        )

    def style(self, element: Element, parent: Style) -> Style:
        """Return the computed style of ``element`` as a child of something styled ``parent``."""
        declared, from_css = self._declared(element)
        if not declared:
            return Style(parent.inherited, _OWN_START, parent.font_size)
        font_size = self._font_size(declared.get("font-size"), parent.font_size)
        inherited: Mapping[str, str] = parent.inherited
        own = _OWN_START
        passed = {name: value for name, value in declared.items() if name in INHERITED}
        kept = {name: value for name, value in declared.items() if name in OWN}
        if passed:
            fresh = dict(parent.inherited)
            for name, value in passed.items():
                above, start = parent.inherited[name], INHERITED[name][0]
                fresh[name] = self._computed(name, value, above, start, font_size)
            inherited = fresh
        if kept:
            own = dict(_OWN_START)
            for name, value in kept.items():
                # unset means the start for what doesn't pass on.
                start = OWN[name][0]
                unset = value in _GLOBAL and value != "inherit"
                own[name] = (
                    start if unset else self._computed(name, value, parent.own[name], start, font_size)
                )
        return Style(inherited, own, font_size, from_css)

    def _computed(self, name: str, value: str, above: str, start: str, font_size: float) -> str:
        if value in _GLOBAL:
            return start if value == "initial" else above
        if name == "color" and value.lower() == "currentcolor":
            return above
        return absolute_units(value, font_size, self.root_font_size)

    def _font_size(self, value: str | None, above: float) -> float:
        if value is None or value in ("inherit", "unset", "revert", "revert-layer"):
            return above
        word = value.lower()
        if word in _SIZES or word == "initial":
            return _SIZES.get(word, 16.0)
        if word in ("smaller", "larger"):
            return above / 1.2 if word == "smaller" else above * 1.2
        if word.endswith("%"):
            share = parse_number(word[:-1])
            return above if share is None else above * share / 100
        from bigsign.artwork.svg_values import Viewport, parse_length

        size = parse_length(absolute_units(word, above, self.root_font_size), Viewport(None, None), "o")
        return above if size is None or size < 0 else size

    def _declared(self, element: Element) -> tuple[Mapping[str, str], frozenset[str]]:
        known = self._cache.get(element)
        if known is not None:
            return known
        declared: dict[str, str] = {}
        for name, value in element.attrib.items():
            if isinstance(name, str) and name in ATTRIBUTES:
                text = str(value).strip()
                if name == "transform" or (name in GEOMETRY and local_name(element) in _VIEWPORTS):
                    declared[name] = text  # read where it is used, with its own rules
                elif text and self._takes(name, text, element, "svg-number"):
                    declared[name] = text if "url(" in text else text.lower()
        css: dict[str, str] = {}
        wrapper = self._wrappers.get(element)
        sheets: list[tuple[str, str, bool]] = []
        if wrapper is not None:
            for _, _, pseudo, payload in self._matcher.match(wrapper):
                if pseudo is None:
                    sheets.extend(payload)
        inline = list(self._declarations(element.get("style") or "", element))
        for important in (False, True):
            for name, value, strong in (*sheets, *inline):
                if strong is important:
                    css[name] = value
        declared.update(css)
        answer = (declared, frozenset(css))
        self._cache[element] = answer
        return answer

    def _takes(self, name: str, value: str, element: Element, code: str) -> bool:
        if value in _GLOBAL:
            return True
        takes = (INHERITED.get(name) or OWN[name])[1]
        if takes(value):
            return True
        short = value if len(value) <= 30 else value[:29] + "…"
        self._notes.add(
            code, f"{name} '{short}' is not understood and was passed over", self._document.source(element),
            "write a plain value, or let the drawing program do it",
        )
        return False

    def _pass_over(self, what: str, element: Element, line: int = 0) -> None:
        source = self._document.source(element)
        if line and source.line:
            source = Source(source.file, source.line + line - 1, source.element)
        self._notes.add("svg-css", what, source, "save the drawing with its styles as plain attributes")

    def _read_sheet(self, element: Element) -> None:
        if (element.get("type") or "text/css").strip().lower() not in ("text/css", ""):
            return
        if not _shown(element.get("media") or "", fallback=False):
            return
        text = "".join(str(part) for part in element.itertext())
        self._add_rules(tinycss2.parse_stylesheet(text, True, True), element)

    def _add_rules(self, rules: list[Any], element: Element) -> None:
        for rule in rules:
            if rule.type == "error":
                self._pass_over("a style rule is broken and was passed over", element, rule.source_line)
            elif rule.type == "at-rule":
                self._at_rule(rule, element)
            elif rule.type == "qualified-rule":
                self._add_rule(rule, element)

    def _at_rule(self, rule: Any, element: Element) -> None:
        keyword = rule.lower_at_keyword
        query = tinycss2.serialize(rule.prelude).strip()
        if keyword == "media" and rule.content is not None:
            shown = _shown(query, fallback=None)
            if shown is None:
                what = f"@media {query[:40]} is not understood and was passed over"
                self._pass_over(what, element, rule.source_line)
            elif shown:
                self._add_rules(tinycss2.parse_rule_list(rule.content, True, True), element)
        elif keyword in ("keyframes", "-webkit-keyframes"):
            self._notes.add("svg-animation", SAY_ANIMATION, self._document.source(element))
        elif keyword not in _HARMLESS:
            self._pass_over(f"@{keyword[:20]} is not read and was passed over", element, rule.source_line)

    def _add_rule(self, rule: Any, element: Element) -> None:
        text = tinycss2.serialize(rule.prelude).strip()
        costly = "~" in text.replace("~=", "") or ":has(" in text.lower() or ":nth-" in text.lower()
        try:
            read = self._costly or not costly
            selectors = cssselect2.compile_selector_list(rule.prelude) if read else None
        except cssselect2.SelectorError:
            selectors = None
        if selectors is None:
            what = f"the selector '{text[:40]}' is not read and was passed over"
            self._pass_over(what, element, rule.source_line)
            return
        payload = list(self._declarations(rule.content, element))
        if payload:
            for selector in selectors:
                self._rules += 1
                self._matcher.add_selector(selector, payload)

    def _declarations(self, content: Any, element: Element) -> Iterator[tuple[str, str, bool]]:
        if not content:
            return
        for item in tinycss2.parse_blocks_contents(content, True, True):
            if item.type != "declaration":
                self._pass_over("part of a style is broken and was passed over", element)
                continue
            name = item.lower_name
            value = _text(item.value)
            if name in UNREAD and value not in ("none", "auto", "normal"):
                self._pass_over(f"the property {name} is not read from styles and was passed over", element)
            for single, said in _expanded(name, value):
                if single not in INHERITED and single not in OWN:
                    continue
                low = said.lower()
                if any(function in low for function in ("var(", "calc(", "env(", "attr(")):
                    self._pass_over(f"{single} '{said[:30]}' is not understood and was passed over", element)
                elif self._takes(single, said, element, "svg-css"):
                    yield single, said if "url(" in low else low, bool(item.important)


SAY_ANIMATION: Final = "an animation was left out; the drawing is read as it stands at rest"


def _text(tokens: list[Any]) -> str:
    return " ".join(tinycss2.serialize([t for t in tokens if t.type != "comment"]).split())


def _expanded(name: str, value: str) -> list[tuple[str, str]]:
    """Write a shorthand out; others as they are."""
    if name == "marker":
        return [("marker-start", value), ("marker-mid", value), ("marker-end", value)]
    if name in ("overflow-x", "overflow-y"):
        return [("overflow", value)]
    if name == "font":
        size = re.search(rf"(?:^|\s)({_LENGTH[:-1]})(?:\s*/\s*\S+)?\s", value, re.IGNORECASE)
        return [("font-size", size[1])] if size else []
    return [(name, value)]


def _shown(query: str, fallback: bool | None) -> bool | None:
    """Whether a media query holds for a screen; ``fallback`` for what isn't understood."""
    answers: list[bool | None] = []
    for part in query.lower().split(","):
        word = re.sub(r"^only\s+", "", part.strip())
        if word in ("", "all", "screen"):
            answers.append(True)
        elif word in ("print", "speech", "not all", "not screen"):
            answers.append(False)
        elif word in ("not print", "not speech"):
            answers.append(True)
        else:
            answers.append(fallback)
    if True in answers:
        return True
    return None if None in answers else False
