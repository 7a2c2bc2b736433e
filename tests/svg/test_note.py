"""The note in ``<metadata>``: written, found again, and left alone by a vector editor."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.svg.making import document
from transform.svg.document import read_document
from transform.svg.note import read_note, write_note
from transform.svg.splice import splice

JSON = '{"version": 1, "why": "5 < 6 & \\"Ж\\"",\n  "list": [1, 2]}'
METADATA = (
    b'<metadata id="m"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" '
    b'xmlns:cc="http://creativecommons.org/ns#"><cc:Work rdf:about=""/></rdf:RDF></metadata>'
)


@pytest.mark.parametrize(
    ("data", "begins"),
    [
        (b"<svg>\n  <g/>\n</svg>", b"<svg>\n  <metadata><ungape:note "),
        (b"<svg/>", b"<svg><metadata><ungape:note "),
        (b"<svg>\n  <g/>\n  <metadata/>\n</svg>", b"<svg>\n  <g/>\n  <metadata>\n    <ungape:note "),
        (
            b"<svg>\n  " + METADATA + b"\n</svg>",
            b"<svg>\n  " + METADATA.replace(b"</metadata>", b"<ungape:note "),
        ),
        (
            b'<s:svg xmlns:s="http://www.w3.org/2000/svg"></s:svg>',
            b'<s:svg xmlns:s="http://www.w3.org/2000/svg"><s:metadata>',
        ),
    ],
)
def test_the_note_is_put_where_metadata_stand(data: bytes, begins: bytes) -> None:
    doc = read_document(data, "n.svg")
    assert read_note(doc) is None
    new = splice(doc, write_note(doc, JSON))
    assert new.startswith(begins)
    again = read_document(new, "n.svg")
    assert read_note(again) == JSON
    assert write_note(again, JSON) == []


def test_a_note_is_replaced_where_it_stands_whatever_its_prefix() -> None:
    data = (
        b'<svg xmlns:n="urn:ungape:note"><g/><metadata>a<x/><n:note  kept="1">old <b/></n:note> b</metadata>'
        b"<metadata/></svg>"
    )
    doc = read_document(data, "n.svg")
    assert read_note(doc) == "old "
    new = splice(doc, write_note(doc, "new"))
    assert new == data.replace(b"old <b/>", b"new")
    empty = read_document(data.replace(b'  kept="1">old <b/></n:note>', b"/>"), "n.svg")
    assert read_note(empty) == ""
    assert read_note(read_document(splice(empty, write_note(empty, "new")), "n.svg")) == "new"


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from("\n\t\r"), max_size=40))
def test_any_text_is_read_back(text: str) -> None:
    doc = document("<g/>")
    assert read_note(read_document(splice(doc, write_note(doc, text)), "n.svg")) == (text or None or text)


def test_what_xml_cannot_hold_is_refused() -> None:
    for text in ("\0", "\x1b", "\uffff"):
        with pytest.raises(ValueError, match="does not allow"):
            write_note(document("<g/>"), text)


def test_a_note_elsewhere_is_none() -> None:
    assert read_note(document('<g><n:note xmlns:n="urn:ungape:note">x</n:note></g>')) is None


@pytest.mark.skipif(shutil.which("inkscape") is None, reason="no inkscape on this machine")
@pytest.mark.parametrize("twice", [False, True])
def test_the_note_survives_a_vector_editor(tmp_path: Path, twice: bool) -> None:
    path = tmp_path / "a.svg"
    doc = document('<g inkscape:label="front"><path d="M0 0 L 10 10" id="p"/></g>')
    path.write_bytes(splice(doc, write_note(doc, JSON)))
    for _ in range(2 if twice else 1):
        command = [
            "inkscape",
            "--actions=select-all;export-plain-svg:false;export-filename:a.svg;export-do",
            "a.svg",
        ]
        home = {**os.environ, "HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)}
        subprocess.run(command, cwd=tmp_path, env=home, check=True, capture_output=True, timeout=120)
    data = path.read_bytes()
    assert b"namedview" in data
    assert read_note(read_document(data, "a.svg")) == JSON
