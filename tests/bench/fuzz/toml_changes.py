"""Project files changed as texts of TOML: values of other kinds, keys misspelt, lost, doubled or misplaced."""

from __future__ import annotations

import random
import re

__all__ = ["changed_text"]

KEYS = (
    "name", "revision", "width", "height", "margin", "reference", "outline", "use", "mat", "turning", "length",
    "border", "kind", "side", "lines", "font", "axes", "cap_height", "leading", "align", "turn", "stacked",
    "colour", "centre", "file", "colours", "policy", "clearance", "placement_tolerance", "trim_margin", "hinge",
    "spacing", "weed_box", "tape_step", "paper", "template_paper", "template_panels", "both_units", "language",
    "keep", "break_after", "no_break_after", "offset", "tilt", "size", "surface", "old_paint", "solvent",
    "foot", "words", "overlap", "sliver", "angle", "in_word_breaks", "panels", "risk", "value", "key_line",
    "value_line", "value_raw", "é", "", "a.b", "__class__",
)  # fmt: skip
TABLES = (
    "sign", "cutter", "film", "lettering", "artwork", "plan", "reading", "seams", "slip", "weights", "marks",
    "site", "stock", "press", "sgn", "x", "sign.width", "lettering.lines", "plan.keep", "value",
)  # fmt: skip
NUMBERS = (
    "0", "1", "-1", "3", "90", "1e308", "-1e308", "1e-320", "nan", "-nan", "inf", "-inf", "9" * 40, "0x10",
    "1_000", "2.5",
)  # fmt: skip
UNITS = (
    "in", "mm", "cm", "m", "ft", '"', "'", "″", "", " in", " mm", " px", "in in", "°", "%", "\u00a0in",
)  # fmt: skip
FIGURES = (
    "12", "0", "-3", "43 1/2", "43½", "1,5", "1,234.5", ".5", "5.", "1e3", "1/0", "9" * 30, "٣", "¼", "3–1/2",
    "nan", "", "1 2 3",
)  # fmt: skip
WORDS = (
    "FRESH", "words", "desktop-12", "12x24", "roll-24", "auto", "any", "none", "black", "#ff0000", "#ff000080",
    "Anton", "Dancing Script", "nothing.ttf", "boat_shed.svg", "../x.svg", "/dev/null", "nul", "a\\u0000b",
    "\\u202eab", "\\tx", "卵", "אב", "👩‍🌾", "e\\u0301", "\\ud800", "%s%n", "{0}", "A" * 3000, " ", "", "THE#2",
    "FRESH|3", "line-01", "true", "en",
)  # fmt: skip
OTHERS = ("true", "false", "yes", "2020-01-01", "07:32:00", "1979-05-27T07:32:00Z", '""', "", '"""\nx"""')
ROUND = (("[", "]"), ("{a = ", "}"), ('"', '"'), ("[[", "]]"), ("(", ")"), ("", ","), ("[", ""))
TYPED = (
    ('"', "“"), ('"', "”"), ('"', ""), ("=", ""), ("=", ":"), (" ", "\u00a0"), ("-", "–"), ("]", ""), ("[", "("),
    ('"', "'"), ("in", '"'), (",", ""), ("/", "\\"), ("_", " "),
)  # fmt: skip
_PAIR = re.compile(r"^(\s*)([^=#\[\s][^=]*?)(\s*=\s*)(.*)$")


def changed_text(text: str, chance: random.Random) -> str:
    """Return ``text`` with one to five changes."""
    rows = text.split("\n")
    for _ in range(chance.choice((1, 1, 2, 3, 5))):
        _change(rows, chance)
    return "\n".join(rows)


def _change(rows: list[str], chance: random.Random) -> None:
    at = chance.randrange(len(rows))
    pairs = [n for n, row in enumerate(rows) if _PAIR.match(row)]
    heads = [n for n, row in enumerate(rows) if row.lstrip().startswith("[")]
    way = chance.randrange(13)
    if way <= 3 and pairs:
        at = chance.choice(pairs)
        match = _PAIR.match(rows[at])
        assert match is not None
        rows[at] = f"{match[1]}{match[2]}{match[3]}{_value(chance)}"
    elif way == 4 and pairs:
        at = chance.choice(pairs)
        rows[at] = _wrapped(rows[at], chance)
    elif way == 5 and pairs:
        at = chance.choice(pairs)
        key, sign, rest = rows[at].partition("=")
        rows[at] = f"{_misspelt(key.strip(), chance)} {sign}{rest}"
    elif way == 6:
        del rows[at]
        rows.append("")
    elif way == 7:
        rows.insert(chance.randrange(len(rows)), rows[at])
    elif way == 8:
        rows.insert(chance.randrange(len(rows)), rows.pop(at))
    elif way == 9 and heads:
        name = chance.choice(TABLES)
        made = (f"[{name}]", f"[[{name}]]", f"[{name}", f"[{name}.{name}]", f"{name} = 3")
        rows[chance.choice(heads)] = chance.choice(made)
    elif way == 10 and heads:
        del rows[chance.choice(heads)]
    elif way == 11:
        rows.insert(at, f"{chance.choice(KEYS)} = {_value(chance)}")
    else:
        rows[at] = _typed(rows[at], chance)


def _value(chance: random.Random, depth: int = 0) -> str:
    way = chance.randrange(10 if depth < 3 else 5)
    if way == 0:
        return chance.choice(NUMBERS)
    if way in (1, 2):
        quote = chance.choice(('"', '"', "'", "“", ""))
        return f"{quote}{chance.choice(FIGURES)}{chance.choice(UNITS)}{quote}"
    if way == 3:
        return f'"{chance.choice(WORDS)}"'
    if way == 4:
        return chance.choice(OTHERS)
    if way in (5, 6):
        return f"[{', '.join(_value(chance, depth + 1) for _ in range(chance.randrange(4)))}]"
    if way == 7:
        keys = chance.sample(KEYS[:56], chance.randrange(4))
        return "{" + ", ".join(f"{key} = {_value(chance, depth + 1)}" for key in keys) + "}"
    return chance.choice(('"12 in"', '["6 in", "20 in"]', '["A B"]', "{wght = 700}", '{"#fff" = "none"}', "[[1]]"))


def _wrapped(row: str, chance: random.Random) -> str:
    key, sign, rest = row.partition("=")
    before, after = chance.choice(ROUND)
    return f"{key}{sign} {before}{rest.strip()}{after}"


def _misspelt(word: str, chance: random.Random) -> str:
    at = chance.randrange(len(word) + 1)
    return chance.choice(
        (word[:at] + word[at + 1 :], word[:at] + chance.choice("aeiou_-. é\"'") + word[at:], word.upper(), word[::-1],
         chance.choice(KEYS), word.replace("_", "-"), word.replace("_", " "))
    )  # fmt: skip


def _typed(row: str, chance: random.Random) -> str:
    """Return a line as a word processor or a hurried person leaves it."""
    old, new = chance.choice(TYPED)
    return row.replace(old, new, chance.choice((1, 2, -1)))
