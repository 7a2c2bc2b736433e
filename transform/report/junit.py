"""The report as JUnit XML: a suite for each design, a case for each thing that can be wrong in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from transform.report.sentences import seam_sentence, size_words

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.report.facts import DesignFacts, Report

_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class _Case:
    """A case: its name, and what is wrong, as (element name, kind, text); None where all is well."""

    name: str
    wrong: tuple[str, str, str] | None = None


def junit_text(report: Report) -> str:
    """The report as text, ending with a line end."""
    suites = [_suite("ungape", [_problem(problem) for problem in report.problems])] if report.problems else []
    suites += [_suite(d.design or d.rules, list(_cases(d, strict=report.strict))) for d in report.designs]
    counts = {count: _total(suites, count) for count in ("tests", "failures", "errors")}
    root = ElementTree.Element("testsuites", {"name": "ungape", **counts})
    root.extend(suites)
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="unicode", xml_declaration=True) + "\n"


def _total(suites: list[ElementTree.Element], count: str) -> str:
    return str(sum(int(suite.attrib[count]) for suite in suites))


def _suite(name: str, cases: list[_Case]) -> ElementTree.Element:
    kinds = [case.wrong[0] for case in cases if case.wrong is not None]
    suite = ElementTree.Element(
        "testsuite",
        name=_xml(name),
        tests=str(len(cases)),
        failures=str(kinds.count("failure")),
        errors=str(kinds.count("error")),
        skipped="0",
    )
    for case in cases:
        element = ElementTree.SubElement(suite, "testcase", classname=_xml(name), name=_xml(case.name))
        if case.wrong is not None:
            tag, kind, text = case.wrong
            child = ElementTree.SubElement(element, tag, type=_xml(kind), message=_xml(text))
            child.text = _xml(text)
    return suite


def _cases(design: DesignFacts, *, strict: bool) -> Iterator[_Case]:
    """The rules, every size's removals, seams and notices, and what is stale."""
    if not design.problems:
        yield _Case(f"{design.rules} is sound")
    for problem in (*design.problems, *design.stale):
        yield _problem(problem)
    for size in design.sizes:
        of = size_words(size.size)
        for facts in size.removals:
            yield _Case(f"{facts.name or facts.edge}: {facts.piece}{of}")
        for seam in size.seams:
            wrong = None
            if not seam.holds:
                wrong = ("failure", "seam does not hold", seam_sentence(seam, design.units))
            yield _Case(f"{seam.join[0]} to {seam.join[1]}{of}", wrong)
        for notice in size.notices:
            counts = strict and not notice.accepted
            yield _Case(
                f"{notice.kind}{': ' + notice.piece if notice.piece else ''}{of}",
                ("failure", notice.kind, notice.text) if counts else None,
            )


def _problem(problem: Problem) -> _Case:
    tag = "failure" if problem.exit == 1 else "error"
    return _Case(f"{problem.kind}: {problem.file}", (tag, problem.kind, str(problem)))


def _xml(text: str) -> str:
    """The text with what XML cannot hold escaped."""
    return _NOT_IN_XML.sub(lambda found: f"\\x{ord(found[0]):02x}", text)
