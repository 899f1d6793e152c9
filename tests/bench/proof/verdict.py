"""What the bench says of a sign, and the library's parting of one."""

from __future__ import annotations

from dataclasses import dataclass

from bigsign.errors import InputError
from bigsign.project import Cutter
from bigsign.splitting.split import split
from bigsign.splitting.tree import CutTree
from tests.bench.proof.kinds import Sign

__all__ = ["Verdict", "parted"]


@dataclass(frozen=True)
class Verdict:
    """What came of a sign: faults found, and what occurred in it."""

    faults: tuple[str, ...]
    proved: bool
    tried: bool
    features: tuple[str, ...]


def parted(sign: Sign) -> list[CutTree] | None:
    """Return the trees of a sign; None where it is refused."""
    try:
        cutter = Cutter("bench", "mat", *sign.usable)
        return list(split(sign.artwork, sign.lettering, cutter, sign.turning, sign.settings).trees)
    except InputError:
        return None
