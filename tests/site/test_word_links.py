"""Words of the field are linked once a page, and never where a link would be wrong."""

from __future__ import annotations

import re

import pytest

from plansgen.figures.word_drawings import draw_words
from plansgen.library.tables import field_words
from plansgen.site.word_links import link_words

HEAD = "---\ntitle: washout\n---\n"
PAGE = "../../words.html"


def linked(body: str) -> str:
    whole = link_words(HEAD + body, PAGE)
    assert whole.startswith(HEAD)
    return whole[len(HEAD) :]


def test_the_first_of_each_word_is_linked_whatever_its_form() -> None:
    assert linked("<p>Twin spar caps, a spar cap and Washout.</p>") == (
        f'<p>Twin <a class="pg-word" href="{PAGE}#word-spar-cap">spar caps</a>, a spar cap and '
        f'<a class="pg-word" href="{PAGE}#word-washout">Washout</a>.</p>'
    )


@pytest.mark.parametrize(
    "body",
    [
        "# Washout",
        '## Washout {#washout}\n<a href="x">washout</a>',
        "<h3>Washout</h3>",
        "<details><summary><span>Washout</span> 2°</summary></details>",
        "<table><tr><td>washout</td></tr></table>",
        "<dl><div><dt>Washout</dt><dd>washout</dd></div></dl>",
        '<img alt="washout">',
        "<svg><text>washout</text></svg>",
        '<div class="pg-caution" data-level="danger"><p>washout</p></div>',
        '<p class="pg-signal">Note: washout</p>',
        "<p>washouted, pre-washout</p>",
        "<p>no such words &lt;b&gt;</p>",
    ],
)
def test_nothing_is_linked_where_it_would_be_wrong(body: str) -> None:
    assert linked(body) == body


def test_after_a_closed_stretch_words_are_linked_again() -> None:
    body = linked('<div class="pg-caution"><p>web<br>web</p></div><p>web</p>')
    assert body.count("pg-word") == 1
    assert re.search(r"</div><p><a [^>]*>web</a></p>", body)


def test_a_text_without_front_matter_is_left_alone() -> None:
    assert link_words("washout", PAGE) == "washout"


def test_every_word_is_there_once_and_every_drawing_is_used() -> None:
    words = field_words()
    assert len(words) >= 50
    assert len({word.id for word in words}) == len(words)
    forms = [form.lower() for word in words for form in (word.word, *word.also)]
    assert len(set(forms)) == len(forms)
    drawn = {word.drawing for word in words if word.drawing}
    assert drawn == set(draw_words())
