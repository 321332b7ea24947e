"""Text of a design that would make a page huge, or tear it, stays text of bounded size."""

from __future__ import annotations

from pathlib import Path

import pytest
from markdown import markdown
from markupsafe import Markup
from PIL import Image

from plansgen.library import folder
from plansgen.library.folder import read_design
from plansgen.library.markdown import render_markdown
from plansgen.problems import BadInput
from plansgen.site.environment import make_environment

STEP = "---\ntitle: Cut\nminutes: 5\n---\n"


def test_a_link_definition_does_not_multiply() -> None:
    """CommonMark 0.31, 6.3: each use of a definition repeats its address."""
    text = "[a]: http://example.org/" + "y" * 20_000 + "\n\n" + "[a]" * 20_000
    assert len(render_markdown(text)) < 2 * len(text)


@pytest.mark.parametrize("fence", ["```", "~~~", "````", "``` python"])
def test_a_fence_in_design_text_does_not_tear_the_page(tmp_path: Path, fence: str) -> None:
    """The engine's Markdown takes fenced code out before it looks at HTML."""
    (tmp_path / "pages").mkdir()
    template = "<div>\n<p>{{ text }}</p>\n{{ html }}\n</div>\n\n<section>{{ text }}\n</section>\n"
    (tmp_path / "pages" / "page.md.j2").write_text(template)
    text = f"a\n{fence}\n<b>\n"
    html = render_markdown(f"~~~~~\n{fence}\n</section>\n\n{fence}\n~~~~~\n")
    environment = make_environment((tmp_path,))
    page = environment.get_template("page.md.j2").render(text=text, html=Markup(html))
    made = markdown(page, extensions=["toc", "tables", "fenced_code"])  # as the engine begins
    assert made == markdown(page, extensions=["toc", "tables"])
    assert made.count("<section>") == made.count("<pre>") == 1
    assert "<b>" not in made


def _library(tmp_path: Path) -> Path:
    steps = tmp_path / "designs" / "dunlin" / "steps"
    steps.mkdir(parents=True)
    (steps.parent / "design.yaml").write_text("plansgen: 1\n")
    return tmp_path


def test_many_long_steps_are_told(tmp_path: Path) -> None:
    library = _library(tmp_path)
    for number in range(1, 13):
        text = STEP + "x" * 99_000
        (library / "designs" / "dunlin" / "steps" / f"{number:03}-a.md").write_text(text)
    with pytest.raises(BadInput, match=r"hold 1\.13 MiB together; allowed: at most 1 MiB"):
        read_design(library, "dunlin")


def test_too_many_bytes_of_pictures_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = _library(tmp_path)
    design = library / "designs" / "dunlin"
    (design / "photos").mkdir()
    Image.new("RGB", (8, 8)).save(design / "photos" / "a.png")
    text = STEP.replace("minutes", "pictures: [{file: photos/a.png, alt: a}]\nminutes")
    (design / "steps" / "010-a.md").write_text(text)
    monkeypatch.setattr(folder, "MOST_PICTURE_BYTES", 50)
    with pytest.raises(BadInput, match="the pictures hold"):
        read_design(library, "dunlin")


@pytest.mark.parametrize("name", ["dunlin\n", "Dunlin", "-a", "a.b"])
def test_a_folder_whose_name_is_no_address_is_told(tmp_path: Path, name: str) -> None:
    (tmp_path / "designs" / name).mkdir(parents=True)
    with pytest.raises(BadInput, match="is no name for a design folder"):
        folder.design_slugs(tmp_path)
