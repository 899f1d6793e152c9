"""The German catalogue: what a plan warns of in general, by the codes of docs/warnings.md."""

from __future__ import annotations

__all__ = ["GERMAN_WARNINGS"]

GERMAN_WARNINGS: dict[str, str] = {
    "begin.warning_one": "{text} Ein Stück, siehe plan.json.",
    "begin.warning_many": "{text} {n} Stücke, siehe plan.json.",
    "begin.warning_plain": "{text} Siehe plan.json.",
    "warning.svg-animation": "Eine Animation blieb weg: die Zeichnung gilt, wie sie in Ruhe steht.",
    "warning.svg-clip": "Ein Ausschnitt wurde nicht verstanden: die Form ist ganz, wo die Zeichnung sie abschneidet.",
    "warning.svg-colour": "Eine im Projekt genannte Farbe füllt in der Zeichnung keine Form.",
    "warning.svg-css": "Eine Stilregel oder ein Wert darin wurde nicht verstanden und übergangen.",
    "warning.svg-effect": "Eine Mischung oder eine andere Wirkung blieb weg.",
    "warning.svg-element": "Ein unbekanntes Element blieb weg.",
    "warning.svg-filter": "Ein Filter blieb weg: die Form ist schlicht gezeichnet.",
    "warning.svg-foreign": "Fremder Inhalt blieb weg.",
    "warning.svg-image": "Ein Bild blieb weg: Folie wird nur nach Umrissen geschnitten.",
    "warning.svg-marker": "Marker (Pfeilspitzen und Ähnliches) blieben weg.",
    "warning.svg-mask": "Eine Maske blieb weg: die Form ist ganz gezeichnet.",
    "warning.svg-number": "Eine Zahl oder Länge war ungültig und wurde übergangen.",
    "warning.svg-opacity": "Halb Durchsichtiges wird als volle Folie geschnitten.",
    "warning.svg-page-edge": "Etwas reicht über die Seite hinaus und wurde an ihrem Rand abgeschnitten.",
    "warning.svg-paint": "Ein Verlauf oder Muster wird als volle Folie einer Farbe geschnitten, oder eine Füllung "
    "wurde nicht gefunden.",
    "warning.svg-path": "Pfaddaten sind fehlerhaft: die Form ist bis zum Fehler gezeichnet.",
    "warning.svg-size": "Die Zeichnung nennt keine wahre Größe: die verwendete prüfen.",
    "warning.svg-stroke": "Eine Kontur ist nicht so gezeichnet, wie die Zeichnung es verlangt.",
    "warning.svg-text": "Text blieb weg: ihn erst in Umrisse umwandeln.",
    "warning.svg-transform": "Eine Transformation wurde nicht verstanden und übergangen.",
    "warning.svg-unit": "Eine Einheit hat hier keine feste Größe.",
    "warning.svg-use": "Ein Verweis führt ins Leere, aus der Datei hinaus oder im Kreis.",
    "warning.svg-whole-page": "Eine Form bedeckt die ganze Seite: soll sie Folie sein?",
    "warning.font-colour": "Eine Schrift hat farbige Buchstaben: geschnitten werden ihre Umrisse, in einer Farbe.",
    "warning.font-script": "Buchstaben stehen nicht, wie ihre Schrift verlangt: jemanden fragen, der sie liest.",
    "warning.reading-many": "Eine Zeichnung hat so viele Stücke einer Farbe, dass darunter keine Buchstaben gesucht "
    "wurden.",
    "warning.reading-doubt": "Wie manche Schrift zu lesen ist, war nicht sicher: die Wörter mit der Zeichnung "
    "vergleichen.",
    "warning.fit-overlap": "Die Folien zweier Blöcke oder zweier Zeilen eines Blocks liegen übereinander.",
    "warning.fit-too-big": "Ein Stück ist größer als die Schneidefläche.",
    "warning.fit-unproved": "Die Suche wurde abgebrochen: es gibt vielleicht eine etwas bessere Teilung.",
    "warning.fit-seam": "Ein Stück ist größer als die Schneidefläche und wird durch Nähte in der Folie geteilt.",
    "warning.fit-seam-edge": "Eine Naht läuft nahe an einem Rand oder lässt einen schmalen Streifen: eine bessere "
    "gab es nicht.",
    "warning.film-thin": "Striche sind schmaler, als die Folie halten soll.",
    "warning.film-small": "Buchstaben sind niedriger, als die Folie halten soll.",
    "warning.film-island": "Inseln sind kleiner, als die Folie halten soll.",
    "warning.place-mark-room": "Die Schrift ist für eine kleinere Fläche geteilt, damit auch die Passmarken an "
    "den Stößen Platz haben.",
    "warning.place-no-mark": "Ein Stoß hat aus Platzmangel höchstens eine Passmarke: seine Teile besonders "
    "sorgfältig setzen.",
    "warning.place-over-film": "Die Folie eines Teils liegt beiderseits von Folie, die dann schon klebt: die "
    "Übertragungsfolie dort nicht anreiben und langsam abziehen.",
    "warning.place-tight": "Eine Trennlinie läuft näher an Folie als gewünscht: dort vorsichtig beschneiden.",
}
