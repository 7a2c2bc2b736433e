"""The JUnit report."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

from tests.report.figures import ELEMENT, OFF, REMOVAL, STALE, UNKNOWN, WIDE, design, report, size
from transform.report.facts import Report
from transform.report.junit import junit_text


def suites(found: Report) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(junit_text(found))
    assert root.tag == "testsuites"
    for count in ("tests", "failures", "errors"):
        assert int(root.attrib[count]) == sum(int(suite.attrib[count]) for suite in root)
    for suite in root:
        assert int(suite.attrib["tests"]) == len(suite)
        assert int(suite.attrib["failures"]) == len(suite.findall("testcase/failure"))
        assert int(suite.attrib["errors"]) == len(suite.findall("testcase/error"))
    return list(root)


def wrong(suite: ElementTree.Element) -> list[tuple[str, str, str]]:
    return [(case.attrib["name"], each.tag, each.attrib["type"]) for case in suite for each in case]


def test_all_well_has_a_case_for_everything() -> None:
    (suite,) = suites(report(design(size(notices=(WIDE,)))))
    assert suite.attrib["name"] == "summer bodice"
    assert [case.attrib["name"] for case in suite] == [
        "summer.gape.yaml is sound",
        "neck gape: front, size 12",
        "front/side seam to back/side seam, size 12",
        "wide dart: front, size 12",
    ]
    assert wrong(suite) == []


def test_what_needs_a_person_fails_and_what_stops_a_design_is_an_error() -> None:
    off, stopped, none = suites(
        report(
            design(size(seams=(OFF,)), stale=(STALE,)),
            design(problems=(ELEMENT,), sizes=()),
            design(sizes=()),
        )
    )
    assert wrong(off) == [
        ("stale file: summer.gape.yaml", "failure", "stale file"),
        ("front/side seam to back/side seam, size 12", "failure", "seam does not hold"),
    ]
    text = off.findall("testcase/failure")[1].text or ""
    assert "193.0 mm" in text
    assert "allowed is 0.0 to 1.0 mm and 1.0 mm more or less" in text
    assert wrong(stopped) == [("gap: b-12.svg", "error", "gap")]
    assert len(none) == 1


def test_problems_of_no_design_have_a_suite_of_their_own() -> None:
    (suite,) = suites(report(problems=(UNKNOWN,)))
    assert suite.attrib["name"] == "ungape"
    assert wrong(suite) == [("unknown word: summer.gape.yaml", "error", "unknown word")]


def test_strict_makes_notices_fail_unless_accepted() -> None:
    sizes = size(notices=(WIDE, replace(WIDE, accepted=True), replace(WIDE, piece=None)))
    (suite,) = suites(report(design(sizes), strict=True))
    assert [name for name, _, _ in wrong(suite)] == ["wide dart: front, size 12", "wide dart, size 12"]


def test_what_xml_cannot_hold_is_escaped() -> None:
    bad = replace(REMOVAL, name="neck\x1b[2J\x00 <gape> & \ud800")
    (suite,) = suites(report(design(size(removals=(bad,)), design="")))
    assert suite.attrib["name"] == "summer.gape.yaml"
    assert suite[1].attrib["name"] == "neck\\x1b[2J\\x00 <gape> & \\xd800: front, size 12"
