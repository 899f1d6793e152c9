"""The German catalogue, first part: steps of the work, why a join is where it is, distances."""

from __future__ import annotations

__all__ = ["GERMAN_STEPS"]

GERMAN_STEPS: dict[str, str] = {
    "prepare.clean": "Die Tafel reinigen und trocknen lassen. Die Anleitung des Folienherstellers geht vor.",
    "prepare.warm": "Arbeiten, wenn Tafel und Folie 10 bis 30 °C haben, oder wie der Folienhersteller sagt.",
    "prepare.width": "Die Breite der Tafel oben und unten messen: je {width}.",
    "prepare.height": "Ihre Höhe links und rechts messen: je {height}.",
    "prepare.diagonal": "Beide Diagonalen messen: je {diagonal}. Sind sie verschieden, ist die Tafel nicht "
    "rechtwinklig.",
    "prepare.differs": "Stimmt ein Maß nicht: aufhören, die wahre Größe in die Projektdatei setzen und neu planen.",
    "prepare.middle_x": "Die senkrechte Mittellinie der Tafel anreißen. Von ihr aus wird zur Seite gemessen.",
    "prepare.middle_y": "Die waagerechte Mittellinie der Tafel anreißen. Von ihr aus wird nach oben und unten"
    " gemessen.",
    "strike.level": "Eine waagerechte Linie anreißen, {place}, für {panels}.",
    "strike.plumb": "Eine senkrechte Linie anreißen, {place}, für {panels}.",
    "strike.low": "Keine flachen Füße an {panels}: die tiefsten Punkte der Folie treffen die Linie.",
    "strike.check": "Jede Linie an beiden Enden nachmessen, bevor es weitergeht.",
    "strike.none": "Keine Linie anzureißen: diese Teile richten sich nach ihren Bandmarken.",
    "mark.range": "{first} bis {last}",
    "mark.tape": "An jede der Stellen {marks} des Anrissblatts Kreppband kleben.",
    "mark.tape_one": "An die Stelle {marks} des Anrissblatts Kreppband kleben.",
    "mark.pencil": "Beide Abstände jeder Marke von den Kanten messen und mit Bleistift aufs Band zeichnen.",
    "mark.twice": "Jede Marke ein zweites Mal messen, von denselben Kanten.",
    "mark.register": "Wo die Farbe frisch ist, auch unter die Passmarken {marks} Kreppband kleben.",
    "hang.all": "Die Teile trocken mit Kreppband an ihre Marken hängen, von Nummer 1 an. Alle "
    "Trägerpapiere bleiben dran.",
    "hang.one": "Das Teil trocken mit Kreppband an seine Marken hängen. Das Trägerpapier bleibt dran.",
    "hang.level": "Nachsehen, dass die Füße der Buchstaben auf den Linien stehen, nicht das beschnittene Papier.",
    "check.back": "Zurücktreten, dorthin, von wo das Schild gelesen wird, und es laut lesen.",
    "check.gaps": "Jeden Abstand mit den Blättern der Teile vergleichen.",
    "check.once": "Jetzt ändern, was nicht gefällt: ohne Trägerpapier lässt sich Folie nicht mehr verschieben.",
    "stick.x": "Nachsehen, dass die Beschnittkante {side} von Teil {n} dort steht: {place}.",
    "stick.y": "Nachsehen, dass die Beschnittkante {side} dort steht: {place}.",
    "stick.middle": "Nachsehen, dass die Mitte seines Beschnitts dort steht: {place}.",
    "stick.butt": "Seine Beschnittkante an die von Teil {other} legen: sie berühren sich überall und liegen"
    " nicht übereinander.",
    "stick.marks": "Seine Passmarken {marks} genau auf die von Teil {other} legen: gleiche auf gleiche.",
    "stick.top.tape": "Die ganze Oberkante mit Band bekleben, halb auf dem Teil, halb auf der Tafel. Das ist "
    "das Scharnier.",
    "stick.top.free": "Das andere Band abnehmen. Das Teil am Scharnier hochklappen.",
    "stick.top.peel": "Das Trägerpapier tief und flach abziehen und weglegen.",
    "stick.top.rub": "Das Teil langsam herablassen. Vom Scharnier abwärts anreiben, aus der Mitte nach außen.",
    "stick.side.tape": "Die ganze Kante {side} mit Band bekleben, halb auf dem Teil, halb auf der Tafel. Das "
    "ist das Scharnier.",
    "stick.side.free": "Das andere Band abnehmen. Das Teil umklappen, Seite: {side}.",
    "stick.side.peel": "Vom Scharnier an eine Handbreit Trägerpapier abziehen.",
    "stick.side.rub": "Diesen Streifen anreiben, weg vom Scharnier. Handbreit um Handbreit weiter.",
    "stick.centre.tape": "Band quer über das Teil entlang seiner Scharnierlinie, über beide Kanten hinaus. "
    "Das ist das Scharnier.",
    "stick.centre.half": "Das Band der einen Hälfte abnehmen und diese über das Scharnier zurückklappen.",
    "stick.centre.cut": "Ihr Trägerpapier bis zum Scharnier abziehen und dort abschneiden, nicht das Band darunter.",
    "stick.centre.rub": "Herablassen und vom Scharnier nach außen anreiben, in schmalen Strichen, die sich "
    "überdecken.",
    "stick.centre.other": "Das Scharnierband abnehmen. Die andere Hälfte zurückklappen, Papier abziehen, anreiben.",
    "stick.none": "Das Trägerpapier handbreit abziehen und das Teil dabei anreiben.",
    "stick.check": "Prüfen: {what} {place}, richtig auf {tolerance}.",
    "stick.seam": "Seine Folie überlappt die von Teil {other} an der Naht um {overlap}. Die Beschnittkanten"
    " treffen sich dort nicht.",
    "stick.seam_butt": "Seine Folie trifft die von Teil {other} an der Naht: Kante an Kante, nichts dazwischen.",
    "stick.gap": "Den Abstand zu Teil {other} prüfen: {gap}.",
    "stick.gap_narrow": "Den Abstand zu Teil {other} prüfen: {gap} an der engsten Stelle.",
    "stick.keep": "Die Übertragungsfolie bleibt dran, bis auch {panels} klebt.",
    "stick.keep_many": "Die Übertragungsfolie bleibt dran, bis auch {panels} kleben.",
    "stick.peel": "Noch einmal anreiben. Die Übertragungsfolie tief und flach umlegen und langsam abziehen.",
    "press.place": "Das Teil aufpressen, wie der Folienhersteller sagt: Hitze, Druck und Zeit.",
    "peel.under": "Die Übertragungsfolie von Teil {n} abziehen: Folie von Teil {over} kommt darüber.",
    "peel.rest": "Die Übertragungsfolie tief und flach von den Teilen abziehen, die sie noch haben: {panels}.",
    "peel.marks": "Die Passmarken {marks} tief und flach abnehmen, beide Folien von jeder.",
    "peel.marks_tape": "Auch das Kreppband darunter abnehmen.",
    "finish.marks": "Alles Kreppband und alle Marken abnehmen.",
    "finish.rub": "Alle Kanten noch einmal durch ein weiches Tuch anreiben.",
    "finish.wait": "Das Schild einen Tag nicht waschen. Die volle Haftung braucht etwa eine Woche.",
    "next.none": "Kein anderer Schnitt dort führt zu Teilen, die passen.",
    "next.between": "Die nächstbeste Stelle, zwischen {first} und {second}, hätte gekostet: {cost}.",
    "next.through": "Die nächstbeste Stelle, durch {first}, hätte gekostet: {cost}.",
    "next.elsewhere": "Die nächstbeste Stelle hätte gekostet: {cost}.",
    "next.and": " und ",
    "next.break": "{n} Stoß mehr in einem Wort",
    "next.break_many": "{n} Stöße mehr in Wörtern",
    "next.panel": "{n} Teil mehr",
    "next.panel_many": "{n} Teile mehr",
    "next.risk": "{n} mehr Wagnis, ein engerer Abstand",
    "next.hair": "fast nichts, ein etwas engerer Abstand",
    "next.area": "ein größeres Teil",
    "next.nothing": "nicht mehr: sie war ebenso gut",
    "why.word": "zwischen zwei Wörtern, {first} und {second}",
    "why.letter": "in einem Wort, zwischen {first} und {second}, weil es größer ist als die Schneidefläche "
    "oder ein Wunsch es verlangt",
    "why.line": "zwischen zwei Zeilen",
    "why.ornament": "zwischen Schrift und Schmuck",
    "why.seam": "durch Folie, an der Verbindung von {first} und {second}, weil das Stück größer ist als "
    "die Schneidefläche",
    "why.seam_through": "durch Folie, durch {first}, weil das Stück größer ist als die Schneidefläche",
    "why.set": "im Projekt gesetzt",
    "why.tall": "über viermal so hoch wie breit",
    "why.low": "niedrig genug zum Hochklappen",
    "why.high": "zu hoch zum Hochklappen",
    "check.what.flat": "Füße der Buchstaben",
    "check.what.low": "tiefste Punkte der Folie",
    "check.what.trim": "Beschnittkante",
    "panel.one": "Teil {n}",
    "panel.many": "Teile {most} und {last}",
    "from.long": "{length} von der Kante {edge}",
    "from.short": "{length} von {edge}",
    "from.middle_left": "{length} links der Mittellinie",
    "from.middle_right": "{length} rechts der Mittellinie",
    "from.middle_above": "{length} über der Mittellinie",
    "from.middle_below": "{length} unter der Mittellinie",
    "from.on_middle": "auf der Mittellinie",
    "from.edge": "von Kante {edge}",
    "from.middle": "von Mittellinie",
    "from.head": "Von {edge}",
    "edge.left": "links",
    "edge.right": "rechts",
    "edge.top": "oben",
    "edge.bottom": "unten",
    "edge.middle": "Mitte",
    "caution.blade.step": "Vom Körper und von der anderen Hand weg schneiden, mit frischer Klinge. In Ruhe "
    "die Klinge einziehen.",
    "caution.blade.text": "Klingen schneiden. Vom Körper und von der anderen Hand weg schneiden, frische "
    "Klinge nehmen, sie einziehen, nie nach einem fallenden Messer greifen. Der "
    "Anleitung des Herstellers folgen.",
    "caution.ladder.step": "Auf der Leiter nicht zur Seite lehnen. Drei Punkte Halt; ihr Fuß steht um ein "
    "Viertel der Länge vor.",
    "caution.ladder.text": "Stürze können töten. Wo es geht, vom Boden arbeiten. Auf der Leiter drei Punkte "
    "Halt, den Fuß um ein Viertel der Arbeitslänge vorstellen (29 CFR 1926.1053). "
    "Örtliche Regeln befolgen.",
    "caution.solvent.step": "Reiniger brennen. Lüften, keine Flammen, die Tafel ganz trocknen lassen.",
    "caution.solvent.text": "Alkohol und andere Reiniger brennen. Lüften, keine Flammen, die Tafel ganz "
    "trocknen lassen. Das Etikett lesen.",
    "caution.old-paint.step": "Alte Farbe kann Blei enthalten: nicht trocken schaben, schleifen oder abbrennen.",
    "caution.old-paint.text": "Farbe von vor etwa 1978 kann Blei enthalten. Nicht trocken schaben, schleifen "
    "oder abbrennen. Das Gesundheitsamt fragen.",
    "caution.loads.step": "Hängelasten und Windlasten gehören in befugte Hände.",
    "caution.loads.text": "Aufhängung, Windlast, Genehmigung und Sicht für den Verkehr gehören in befugte "
    "Hände und zum örtlichen Amt.",
    "caution.film.step": "Frische Farbe geht mit dem Band ab. Das Band an verdeckter Stelle probieren.",
    "caution.film.text": "Frische Farbe geht mit dem Band ab: warten, wie der Farbhersteller sagt (Tage bis "
    "ein Monat). Das Band an verdeckter Stelle probieren.",
    "signal.WARNING": "WARNUNG",
    "signal.CAUTION": "VORSICHT",
    "signal.NOTICE": "HINWEIS",
    "signal.DANGER": "GEFAHR",
}
