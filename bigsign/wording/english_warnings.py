"""The English catalogue: what a plan warns of in general, by the codes of docs/warnings.md."""

from __future__ import annotations

__all__ = ["WARNINGS"]

WARNINGS: dict[str, str] = {
    "begin.warning_one": "{text} One piece; see plan.json.",
    "begin.warning_many": "{text} {n} pieces; see plan.json.",
    "begin.warning_plain": "{text} See plan.json.",
    "warning.svg-animation": "An animation was left out: the drawing is read as it stands at rest.",
    "warning.svg-clip": "A clip was not understood: the shape is whole where the drawing cuts it off.",
    "warning.svg-colour": "A colour named in the project is no shape’s fill in the drawing.",
    "warning.svg-css": "A style rule or value was not understood and was passed over.",
    "warning.svg-effect": "A blend mode or other effect was left out.",
    "warning.svg-element": "An element that is not known was left out.",
    "warning.svg-filter": "A filter was left out: the shape is drawn plain.",
    "warning.svg-foreign": "Foreign content was left out.",
    "warning.svg-image": "A picture was left out: film is cut from outlines only.",
    "warning.svg-marker": "Markers (arrow heads and the like) were left out.",
    "warning.svg-mask": "A mask was left out: the shape is drawn whole.",
    "warning.svg-number": "A number or length was not valid and was passed over.",
    "warning.svg-opacity": "Something half transparent is cut as solid film.",
    "warning.svg-page-edge": "Something reaches past the page and was cut off at its edge.",
    "warning.svg-paint": "A gradient or pattern is cut as solid film of one colour, or a paint was not found.",
    "warning.svg-path": "Path data is broken: the shape is drawn up to the error.",
    "warning.svg-size": "The drawing states no physical size: check the one used.",
    "warning.svg-stroke": "A stroke was not drawn as the drawing asks.",
    "warning.svg-text": "Text was left out: turn it into outlines first.",
    "warning.svg-transform": "A transform was not understood and was passed over.",
    "warning.svg-unit": "A unit that has no fixed size here was met.",
    "warning.svg-use": "A reference leads nowhere, outside the file or round in a circle.",
    "warning.svg-whole-page": "A shape covers the whole page: is it meant as film?",
    "warning.font-colour": "A font has letters in colours: their plain outlines are cut, in one colour.",
    "warning.font-script": "Letters of a script are not set as they are written: show them to somebody who reads it.",
    "warning.reading-many": "A drawing has so many pieces of a colour that no letters were looked for among them.",
    "warning.reading-doubt": "How some of the lettering reads could not be told for sure: compare the words with "
    "the drawing.",
    "warning.fit-overlap": "Films of two blocks, or of two lines of a block, overlap.",
    "warning.fit-too-big": "A piece is larger than the usable area.",
    "warning.fit-unproved": "The search was cut short: there may be a slightly better parting.",
    "warning.fit-seam": "A piece is larger than the usable area and is parted by seams through its film.",
    "warning.fit-seam-edge": "A seam passes close to an edge or leaves a thin sliver: no better one was there.",
    "warning.film-thin": "Strokes are narrower than the film is said to hold.",
    "warning.film-small": "Letters are lower than the film is said to hold.",
    "warning.film-island": "Islands are smaller than the film is said to hold.",
    "warning.place-mark-room": "The lettering is parted for a smaller area, so that register marks at its joins "
    "fit too.",
    "warning.place-no-mark": "A join has one register mark or none, for want of room: set its panels with extra "
    "care.",
    "warning.place-over-film": "A panel's film lies on both sides of film that is up by then: don't rub its transfer "
    "tape down there, and peel it off slowly.",
    "warning.place-tight": "A break line passes film closer than the clearance asked for: trim there with care.",
}
