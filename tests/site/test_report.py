"""Links by which builders report what did not fit."""

from __future__ import annotations

import html
import re
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from plansgen.dossier import work_out
from plansgen.figures.all import draw_all
from plansgen.library.contact import Contact
from plansgen.library.folder import read_design
from plansgen.problems import BadInput
from plansgen.site.build import build_site
from plansgen.site.design_pages import design_files
from plansgen.site.environment import make_environment
from plansgen.site.library_pages import LIBRARY_PAGES, library_files
from plansgen.site.overlay import template_roots
from plansgen.site.report import Report
from plansgen.site.steps import step_views
from tests.conftest import REPOSITORY

CONTACT = Contact("https://example.org/new?title={subject}&text={body}")
LINK = re.compile(r'<p class="pg-report pg-screen"><a href="([^"]*)">')


def letter(link: str) -> tuple[str, list[str]]:
    """Subject and lines of a letter, as a standard parser reads them."""
    fields = parse_qs(urlsplit(link).query, strict_parsing=True)
    return fields["title"][0], fields["text"][0].split("\n")


@pytest.fixture(scope="module")
def pages() -> dict[bool, dict[str, str]]:
    """The pages of a demo design, with and without a contact."""
    design = read_design(REPOSITORY, "dunlin")
    dossier = work_out(design)
    figures = draw_all(design, dossier)
    environment = make_environment(template_roots(REPOSITORY))
    return {
        bool(contact): {
            path.split("/")[-1]: data.decode()
            for path, data in design_files(
                environment, design, dossier, figures, contact=contact
            ).items()
            if path.endswith(".md")
        }
        for contact in (CONTACT, None)
    }


def test_every_page_and_every_step_begins_a_letter(pages: dict[bool, dict[str, str]]) -> None:
    for name, text in pages[True].items():
        subject, lines = letter(html.unescape(LINK.findall(text)[-1]))
        assert subject.startswith("dunlin, revision "), name
        assert "Design: Dunlin (dunlin)" in lines
        assert any(re.fullmatch(r"Revision: [A-Z]{1,2}", line) for line in lines)
        assert any(line.startswith("Page: ") for line in lines)
    steps = read_design(REPOSITORY, "dunlin").steps
    links = LINK.findall(pages[True]["build.md"])
    assert len(links) == len(steps) + 1
    for number, (step, link) in enumerate(zip(steps, links[:-1], strict=True), 1):
        subject, lines = letter(html.unescape(link))
        assert f"step {number}:" in subject
        assert f"Step {number}: {step.head.title}" in lines
        assert all(f"- {part}" in lines for part in step.head.parts)


def test_without_a_contact_there_is_no_link(pages: dict[bool, dict[str, str]]) -> None:
    assert pages[False].keys() == pages[True].keys()
    assert not any("pg-report" in text for text in pages[False].values())


def test_pages_of_the_library_have_one_each() -> None:
    environment = make_environment(template_roots(REPOSITORY))
    for contact in (CONTACT, None):
        files = library_files(environment, [], site_name="Plans & more", contact=contact)
        for name, title in LIBRARY_PAGES.items():
            links = LINK.findall(files[name].decode())
            assert len(links) == (1 if contact else 0)
            if contact:
                assert letter(html.unescape(links[0]))[1][:2] == [
                    "Library: Plans & more",
                    f"Page: {title}",
                ]


def test_a_part_is_named_and_a_long_list_stays_an_address() -> None:
    """2048 characters are the least that some programs take; common practice, no source."""
    design = read_design(REPOSITORY, "dunlin")
    report = Report(CONTACT, work_out(design))
    subject, lines = letter(report.part("wing-rib", 'rib <1> & "2"'))
    assert 'rib <1> & "2"' in subject
    assert 'Part: rib <1> & "2"' in lines
    for number, view in enumerate(step_views(design), 1):
        assert len(report.step(number, view)) < 2048
    (view, *_) = step_views(design)
    head = view.head.model_copy(update={"parts": tuple(f"part {n}" for n in range(60))})
    _, lines = letter(report.step(1, type(view)(view.key, head, view.html, (), (), ())))
    assert "- and 48 more" in lines


def test_a_wrong_contact_is_told_once_and_nothing_is_built(tmp_path: Path) -> None:
    (tmp_path / "designs").mkdir()
    (tmp_path / "mkdocs.yml").write_text("site_name: P\nextra: {contact: 'ftp://example.org'}\n")
    with pytest.raises(BadInput) as caught:
        build_site(tmp_path, site=tmp_path / "site")
    (problem,) = caught.value.problems
    assert (problem.file, problem.field) == ("mkdocs.yml", "extra.contact")
    assert not (tmp_path / "site").exists()
