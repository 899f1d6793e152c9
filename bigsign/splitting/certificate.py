"""The certificate of a parting: what was searched, what it cost, what bounds it, and by whose witness.

`proved` is never said by a search itself: it follows from a certificate, which `bigsign.plan_check_certificates` reads
again from the plan's own films and cuts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Union

__all__ = ["CLASSES", "DROPPED", "TIERS", "CertTree", "Certificate", "names_in"]

#: The classes of cuts that a search may speak of, each with all before it.
CLASSES = {
    "straight": "straight cuts",
    "bent": "straight cuts, and cuts that bend where neighbours hook",
    "free": "straight cuts, cuts that bend where neighbours hook, and free ways where neither parts a group",
}

#: What may not have been searched in full; with any of these nothing is proved.
DROPPED = {
    "budget": "the number of states allowed was used up",
    "areas": "the lettering was cut into areas by rule, and each searched by itself",
    "lines": "not every line that could bend was tried",
    "seams": "the seams are the best found, not proved the shortest",
    "seam-places": "the seams are the shortest; other places as short were not tried against the rest of the plan",
    "seam-rules": "no seam was found that keeps clear of edges and slivers, so these rules were dropped",
    "mark-room": "the usable area was taken smaller, to leave room for register marks",
    "mats": "other partings might need fewer mats",
}

#: What is compared; the order is that of policy ``words``.
TIERS = ("seam_length", "seams", "in_word_breaks", "panels", "risk", "largest_panel_area")

# The fragments of a panel, or two sides of a cut.
CertTree = Union[tuple[str, ...], tuple["CertTree", "CertTree"]]  # noqa: UP007 - it names itself


@dataclass(frozen=True, slots=True)
class Certificate:
    """What is claimed of a parting, and what speaks for it.

    Parameters
    ----------
    cuts : a key of `CLASSES`: over which cuts the search ran.
    tree : the ids of the fragments of each panel, in pairs as the cuts part them.
    cost, bound : by tier, bound None where nothing is claimed. Lengths in mm, areas in mm², risk as people read it.
    dropped : keys of `DROPPED`.
    apart : sets of fragments of which no two go on a panel together: as many panels are needed at least.
    """

    cuts: str
    tree: CertTree
    cost: Mapping[str, float]
    bound: Mapping[str, float | None]
    dropped: tuple[str, ...]
    apart: tuple[tuple[str, ...], ...]

    @property
    def proved(self) -> bool:
        """Whether nothing of the class is better: nothing was dropped, and the bound of each tier is its cost."""
        return not self.dropped and all(
            bound is not None and abs(bound - self.cost[tier]) < 1e-6 for tier, bound in self.bound.items()
        )

    @property
    def words(self) -> str:
        """The class of cuts in words."""
        return CLASSES[self.cuts]


def names_in(tree: CertTree) -> list[str]:
    """Return the fragments that a tree holds."""
    return [name for part in tree for name in ([part] if isinstance(part, str) else names_in(part))]
