"""What `bigsign check` reports: the lettering found in a project, and what can't be weeded or won't fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from bigsign.artwork.pieces import Artwork
from bigsign.findings import Finding
from bigsign.output.plan_json import Json, finding_to_dict, pieces_to_list, reading_to_dict
from bigsign.prepare import check_template, prepare
from bigsign.project import Project
from bigsign.reading.lettering import Lettering

__all__ = ["ProjectCheck", "check_project", "check_to_dict"]


@dataclass(frozen=True, slots=True)
class ProjectCheck:
    """What was read and what a person should know: no findings, nothing in the way."""

    project: Project
    artwork: Artwork
    lettering: Lettering
    findings: tuple[Finding, ...]


def check_project(project: Project, progress: Callable[[str], None] | None = None) -> ProjectCheck:
    """Return the lettering of a project and the findings of reading, weeding, parting and placing it.

    It goes the whole way of a plan, so that whatever stands in a plan's way is found. A piece that no seam parts into
    what fits is a finding (``fit-too-big``) here, not an error.

    Raises
    ------
    InputError
        As :func:`bigsign.make_plan`, but for such a piece.
    """
    from bigsign.making import weeding_findings
    from bigsign.plan import plan_lettering
    from bigsign.splitting.too_big import PieceTooBigError

    say = progress or (lambda _: None)
    begun = prepare(project, say)
    artwork, lettering = begun.artwork, begun.lettering
    say("looking for what can't be weeded or won't fit")
    findings = [*artwork.findings, *lettering.findings, *weeding_findings(artwork, lettering)]
    try:
        plan = plan_lettering(project, artwork, lettering, say)
        check_template(project, len(plan.panels))
        findings.extend(plan.warnings)
    except PieceTooBigError as error:
        findings.extend(Finding("fit-too-big", f"In {f.where}: {f.what}.", remedy=f"{f.right}.") for f in error.faults)
    return ProjectCheck(project, artwork, lettering, tuple(dict.fromkeys(_sentence(one) for one in findings)))


def _sentence(finding: Finding) -> Finding:
    """Return a finding whose remedy begins with a capital."""
    return replace(finding, remedy=finding.remedy[:1].upper() + finding.remedy[1:])


def check_to_dict(check: ProjectCheck) -> dict[str, Json]:
    """Return a check as `bigsign check --json` prints it: the keys of plan.json that are known before a plan."""
    lettering = check.lettering
    return {
        "format": "bigsign-check",
        "version": 1,
        "units": "mm",
        "project": {"name": check.project.name, "sha256": check.project.sha256},
        "pieces": pieces_to_list(check.artwork.pieces, lettering.glyphs),
        **reading_to_dict(lettering.glyphs, lettering.words, lettering.lines),
        "ornaments": list(lettering.ornaments),
        "warnings": [finding_to_dict(finding) for finding in check.findings],
    }
