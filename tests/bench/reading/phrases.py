"""Seeded phrases for the reading bench: invented sign texts of two to seven words on one to three lines."""

from __future__ import annotations

import random

__all__ = ["arabic", "capitals", "cyrillic", "greek", "hebrew", "phrases", "single_words", "small_letters"]

NOUNS = (
    "eggs", "honey", "bread", "milk", "apples", "seeds", "tomatoes", "beans", "kayaks", "paddles", "mugs", "bowls",
    "jam", "pickles", "yarn", "flowers", "tools", "books", "oars", "squash", "plums", "cider", "wool", "clay",
    "lanterns", "ladders", "trays", "jars", "figs", "quinces", "walnuts", "gloves", "boots", "kettles", "rye",
)  # fmt: skip
ADJECTIVES = (
    "fresh", "local", "quiet", "little", "wild", "open", "warm", "early", "green", "slow", "tall", "yellow",
    "hand thrown", "half price", "mixed", "ripe", "junior", "frozen", "spare", "windy", "free", "organic",
)  # fmt: skip
PLACES = (
    "Marrow Lane", "Farm Stand", "Boat Shed", "Clay Studio", "Seed Library", "Upper Field", "Mill Yard", "Quince House",
    "Jetty Road", "Kiln Room", "North Gate", "Villa Tavolo", "Old Pump", "Fern Hollow", "Yew Walk", "Lower Quay",
)  # fmt: skip
TAILS = ("open daily", "please ring", "by the pump", "today", "every Friday", "from May", "on Saturday", "till dusk")
MARKS = (
    "{a} & {b}", "{a}, {b} and {c}", "{n} {a}: {p}", "{a} {b}!", "“{n} {a}”", "{a} - {b}", "{a} at {h}", "no {a}; {b}",
    "{n} {a} (new)", "to the {a}", "{h} {a} {t}", "{p}, {t}", "why {a}? {t}",
)  # fmt: skip

GREEK = (
    "φρέσκα αυγά", "μέλι και ψωμί", "ΑΓΡΟΚΤΗΜΑ ΛΟΦΟΥ", "ανοιχτά κάθε μέρα", "ΞΥΛΙΝΑ ΠΑΙΧΝΙΔΙΑ", "η μικρή αυλή",
    "σπόροι & βότανα", "ΤΟ ΨΩΜΙ ΤΗΣ ΗΜΕΡΑΣ", "λάδι, ελιές, τυρί", "ώρες: 9 έως 5", "Δρόμος του μύλου",
    "γλυκά του κήπου",
    "ΠΡΟΣΟΧΗ ΣΤΟ ΣΚΑΛΙ", "τα βιβλία εδώ", "ΚΗΠΟΣ ΚΑΙ ΘΕΑ", "καλώς ήρθες", "βάρκες για όλους", "Άνω πλατεία",
)  # fmt: skip
CYRILLIC = (
    "свежие яйца", "мёд и хлеб", "ЛАВКА У МОСТА", "открыто каждый день", "Новый сад", "ЖИВЫЕ ЦВЕТЫ",
    "чай, кофе, пироги",
    "ЯБЛОКИ И ГРУШИ", "Вход со двора", "мягкий сыр & масло", "ЮЖНЫЙ БЕРЕГ", "книги для всех", "часы: 9 до 5",
    "Лодки на прокат", "ЩАВЕЛЬ И УКРОП", "свіжий хліб щодня", "їжа та напої", "ПІД ЛИПОЮ",
)  # fmt: skip
HEBREW = (
    "ביצים טריות", "דבש ולחם", "פתוח כל יום", "הגן הקטן", "ספרים לכולם", "תפוחים וענבים", "בית הקפה שלנו",
    "שמן זית, גבינה", "חנות הכפר", "נא לצלצל בפעמון", "עגבניות וקישואים", "סירות להשכרה", "ברוכים הבאים",
    "שעות: 9 עד 5", "רחוב הטחנה", "מים קרים", "צמחי תבלין", "סדנת קרמיקה",
)  # fmt: skip
ARABIC = (
    "بيض طازج", "خبز وعسل", "مفتوح كل يوم", "حديقة صغيرة", "كتب للجميع", "تفاح وعنب", "مقهى القرية", "زيت وزيتون",
    "شاي بالنعناع", "سوق السمك", "باب البيت الكبير", "قوارب للإيجار", "أهلا وسهلا", "ورشة الخزف", "ماء بارد",
    "تمر ولبن", "شارع الطاحونة", "بذور وأعشاب",
)  # fmt: skip
SINGLE = (
    "HONEY", "Library", "TOMATOES", "Marrow", "STUDIO", "Lettering", "KAYAK", "Walnut", "ROWING", "Fritillary",
    "OPEN", "Welcome", "AVOCADO", "Pottery", "LITTLE", "Village",
)  # fmt: skip


def phrases(count: int, rng: random.Random, marks: bool = True, capitals: bool = True) -> list[str]:
    """Return ``count`` phrases; a bar parts lines.

    ``marks``: a share of them holds commas, quotes or figures. ``capitals``: a third is all capitals.
    """
    return [_phrase(rng, marks, capitals) for _ in range(count)]


def _phrase(rng: random.Random, marks: bool, capitals: bool) -> str:
    a, b, c = rng.sample(NOUNS, 3)
    adjective, place, tail = rng.choice(ADJECTIVES), rng.choice(PLACES), rng.choice(TAILS)
    if marks and rng.random() < 0.4:
        hour = f"{rng.randint(6, 11)}:{rng.choice(('00', '15', '30'))}"
        first = rng.choice(MARKS).format(a=a, b=b, c=c, n=adjective, p=place, t=tail, h=hour)
    else:
        first = rng.choice((f"{adjective} {a}", place, f"{a} {tail}", f"{adjective} {a} {tail}"))
    lines = [first]
    for extra in (place, f"{b} and {c}", tail):
        if len(lines) < 3 and extra not in first and rng.random() < 0.35 and len(extra.split()) > 1:
            lines.append(extra)
    case = rng.choice((str.upper, _title, _first) if capitals else (_title, _first))
    return "|".join(case(line) for line in lines)


def _title(text: str) -> str:
    return " ".join(word[:1].upper() + word[1:] for word in text.split())


def _first(text: str) -> str:
    return text[:1].upper() + text[1:]


def capitals(count: int, rng: random.Random) -> list[str]:
    """Return phrases all in capitals."""
    return [phrase.upper() for phrase in phrases(count, rng, marks=False)]


def small_letters(count: int, rng: random.Random) -> list[str]:
    """Return phrases in capitals and small letters, as scripts are set."""
    return phrases(count, rng, capitals=False)


def one_line(count: int, rng: random.Random) -> list[str]:
    """Return the first lines of phrases of two words or more."""
    firsts = [phrase.split("|")[0] for phrase in phrases(4 * count, rng)]
    return [first for first in firsts if " " in first][:count]


def single_words(count: int, rng: random.Random) -> list[str]:
    """Return words alone: nothing to compare their gaps with."""
    return rng.sample(SINGLE, count)


def greek(count: int, rng: random.Random) -> list[str]:
    """Return Greek phrases."""
    return rng.sample(GREEK, count)


def cyrillic(count: int, rng: random.Random) -> list[str]:
    """Return Cyrillic phrases."""
    return rng.sample(CYRILLIC, count)


def hebrew(count: int, rng: random.Random) -> list[str]:
    """Return Hebrew phrases."""
    return rng.sample(HEBREW, count)


def arabic(count: int, rng: random.Random) -> list[str]:
    """Return Arabic phrases."""
    return rng.sample(ARABIC, count)
