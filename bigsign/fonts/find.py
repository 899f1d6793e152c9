"""Finding a font: a file (and a face of it), a family of an installed font package, or one installed on the machine."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from io import BytesIO
from pathlib import Path

from bigsign.errors import Fault, InputError
from bigsign.fonts.faces import FaceName, faces_of, matching, plain_name
from bigsign.fonts.installed import InstalledFace, installed_faces
from bigsign.fonts.packages import SUFFIXES, package_fonts
from bigsign.fonts.tables import what_is_wrong
from bigsign.project import FontFile
from bigsign.project_inputs import is_file, shown_list

__all__ = ["find_font", "read_face"]

LARGEST = 150_000_000  # bytes: collections for East Asian scripts come to 110 million
OTHER_SUFFIXES = (".otb", ".pfa", ".pfb", ".t1", ".bdf", ".pcf", ".fon", ".eot", ".dfont")
"""Of fonts that aren't read: such a name means a file, and what it is is said."""
MOST_SHOWN = 6  # names in an error


def find_font(name: str, folder: Path, where: str = "font", folders: Iterable[Path] | None = None) -> FontFile:
    """Return the font ``name`` names.

    Parameters
    ----------
    name : a file below ``folder`` or absolute ("sign.ttf"), with "#" and a name for a face of a collection or a named
        instance ("faces.ttc#Marrow Sans Bold"); else a family, with or without a style ("Lato Black"). Case, spaces
        and hyphens do not matter. A family alone is its plainest face. Font packages come before the machine's fonts.
    folders : to look into instead of the machine's usual ones.

    Raises
    ------
    InputError
        If there is no such file, face or family (the nearest are listed), or nothing can be cut from it.
    """
    named = _file_of(name, folder)
    if named is not None:
        file, face = named
        if not is_file(file):
            right = "a file in the project's folder, or its full path"
            raise InputError(Fault(f"no font file {name!r}", where, right))
        return _of_file(file, face, where)
    package = package_fonts().get(plain_name(name))
    if package is not None:
        shown, file = package
        data = _bytes(file, name, where)
        faces = faces_of(data)
        plainest = min(faces, key=lambda face: face.uncommon, default=FaceName("", ""))
        return _checked(shown, data, plainest, where)
    one = _installed(name, installed_faces(folders), where)
    data = _bytes(one.file, name, where)
    if one.face not in faces_of(data):  # what was kept of a file is not trusted against the file itself
        one = _installed(name, installed_faces(folders, fresh=True), where)
        data = _bytes(one.file, name, where)
    return _checked(one.face.name, data, one.face, where)


def _installed(name: str, installed: Sequence[InstalledFace], where: str) -> InstalledFace:
    faces = [one.face for one in installed]
    at = matching(faces, name)
    if at is None:
        raise InputError(_not_found(name, faces, where))
    return installed[at]


def read_face(one: InstalledFace) -> FontFile:
    """Return an installed face with its bytes; raises InputError if nothing can be cut from it."""
    return _checked(one.face.name, _bytes(one.file, one.face.name, one.face.name), one.face, one.face.name)


def _file_of(name: str, folder: Path) -> tuple[Path, str | None] | None:
    """Return the file a name means, and the face of it that stands after "#"; None: no file is meant."""
    path, mark, face = name.rpartition("#")
    for text, wanted in ((name, None), (path, face)):
        file = Path(text) if Path(text).is_absolute() else folder / text
        like_a_file = Path(text).suffix.lower() in (*SUFFIXES, *OTHER_SUFFIXES)
        if text and (like_a_file or is_file(file)):
            return file, wanted
        if not mark:
            break
    return None


def _of_file(file: Path, wanted: str | None, where: str) -> FontFile:
    data = _bytes(file, file.name, where)
    faces = faces_of(data)
    if wanted is None:
        if len({face.index for face in faces}) > 1:
            names = [f"{file.name}#{face.name}" for face in faces if not face.axes]
            what = f"{file.name!r} holds {len(names)} faces"
            raise InputError(Fault(what, where, f"one of: {shown_list(names, MOST_SHOWN)}"))
        return _checked(file.name, data, FaceName("", "", faces[0].index if faces else 0), where)
    at = matching(faces, wanted)
    if at is None:  # the family goes without saying
        styles = [n for n, face in enumerate(faces) if plain_name(face.style) == plain_name(wanted)]
        at = styles[0] if len(styles) == 1 else None
    if at is None:
        names = difflib.get_close_matches(wanted, [face.name for face in faces], MOST_SHOWN, 0.5)
        right = shown_list(names or [face.name for face in faces], MOST_SHOWN)
        right = f"one of: {right}" if right else "leave # and what follows it out: this font has no names"
        raise InputError(Fault(f"{file.name!r} has no face {wanted!r}", where, right))
    return _checked(f"{file.name}#{wanted}", data, faces[at], where)


def _checked(shown: str, data: bytes, face: FaceName, where: str) -> FontFile:
    wrong = what_is_wrong(data, face.index)
    if wrong is not None:
        raise InputError(Fault(f"the font {shown!r} {wrong[0]}", where, wrong[1]))
    return FontFile(shown, data, face.index, face.axes)


def _not_found(name: str, faces: Sequence[FaceName], where: str) -> Fault:
    wanted = plain_name(name)
    shown = {plain_name(text): text for text in (shown for shown, _ in package_fonts().values())}
    for face in faces:
        shown.setdefault(plain_name(face.family), face.family)
        shown.setdefault(plain_name(face.family + face.style), face.name)
    close = difflib.get_close_matches(wanted, sorted(shown), 4, 0.6)
    near = list(dict.fromkeys(shown[text] for text in close))
    family = max((f.family for f in faces if wanted.startswith(plain_name(f.family))), key=len, default="")
    if family and not near:
        styles = list(dict.fromkeys(face.style for face in faces if face.family == family))
        return Fault(f"no font {name!r} is installed", where, f"a style of {family}: {shown_list(styles, MOST_SHOWN)}")
    right = f"a font file, or one of: {', '.join(near)}; `bigsign fonts` lists all"
    if not near:
        right = "a font file, or one of those that `bigsign fonts` lists"
    return Fault(f"no font {name!r} is installed", where, right)


def _bytes(file: Path, name: str, where: str) -> bytes:
    """Return a font file's bytes, a web font's unpacked; only the beginning is looked at."""
    try:
        with file.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "impossible name"
        what = f"the font {name!r} can't be read ({reason.lower()})"
        raise InputError(Fault(what, where, "a readable file")) from None
    if len(data) > LARGEST:
        raise InputError(Fault(f"the font {name!r} is larger than {LARGEST // 1_000_000} MB", where, "a smaller file"))
    if data[:4] in (b"wOF2", b"wOFF"):
        data = _unpacked(data, name, where)
    if data[:4] not in (b"\0\1\0\0", b"OTTO", b"ttcf", b"true"):
        raise InputError(Fault(f"{name!r} is {_kind(data)}", where, "a TrueType or OpenType font file"))
    if data[:4] != b"ttcf":
        wrong = what_is_wrong(data)
        if wrong is not None:
            raise InputError(Fault(f"the font {name!r} {wrong[0]}", where, wrong[1]))
    return data


def _kind(data: bytes) -> str:
    """Return what a file is that is no font bigsign reads, by the marks such files begin with."""
    if data[:2] == b"\x80\x01" or data[:14] in (b"%!PS-AdobeFont", b"%!FontType1-1."):
        return "a Type 1 font, which is not read"
    if data[:9] == b"STARTFONT" or data[:4] == b"\x01fcp" or data[:2] == b"MZ":
        return "a bitmap font: it has no outlines to cut"
    if data[:4] == b"\0\0\1\0" and b"sfnt" in data[int.from_bytes(data[4:8], "big") :]:
        return "a suitcase of fonts (.dfont), which is not read"
    if data[34:36] == b"LP":
        return "an EOT web font, which is not read"
    return "no font"


def _unpacked(data: bytes, name: str, where: str) -> bytes:
    """Return a web font as a plain one."""
    import logging

    from fontTools.ttLib import TTFont

    logging.getLogger("fontTools").addHandler(logging.NullHandler())  # what it would log is said here, as a fault
    if int.from_bytes(data[16:20], "big") > LARGEST:
        what = f"the font {name!r} unpacks to more than {LARGEST // 1_000_000} MB"
        raise InputError(Fault(what, where, "a smaller file"))
    if data[4:8] == b"ttcf":
        right = "the plain collection (.ttc), or a web font of one face"
        raise InputError(Fault(f"{name!r} is a web font of several faces, which is not read", where, right))
    out = BytesIO()
    try:
        # The time of the change is left as it stands, so that the same file gives the same bytes.
        with TTFont(BytesIO(data), recalcTimestamp=False, recalcBBoxes=False) as font:
            font.flavor = None
            font.save(out, reorderTables=False)
    except ImportError:
        right = "`pip install brotli`, or the plain font (.ttf, .otf)"
        raise InputError(Fault(f"{name!r} can't be unpacked without the package brotli", where, right)) from None
    except Exception as error:  # fontTools raises many kinds for broken fonts
        raise InputError(Fault(f"the font {name!r} is broken", where, f"a whole font file ({error})")) from None
    return out.getvalue()
