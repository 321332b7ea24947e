"""Design text as HTML: nothing in it may run, load or reach elsewhere."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plansgen.library.markdown import plain_text, render_inline, render_markdown

_TAGS = {
    *("p", "h3", "h4", "h5", "h6", "em", "strong", "code", "pre", "blockquote", "ul", "ol", "li"),
    *("hr", "br", "a", "table", "thead", "tbody", "tr", "th", "td"),
}
_ATTRIBUTES = {"href", "rel", "title", "class", "scope", "start"}


class _Strict(HTMLParser):
    """Refuses every tag and attribute that is not on the list."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in _TAGS, tag
        for name, value in attrs:
            assert name in _ATTRIBUTES, name
            if name == "href":
                assert re.match(r"https?://|mailto:", value or "", re.IGNORECASE)


NASTY = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "a <b onclick=x>b</b>",
    "<!-- --><style>*{}</style>",
    "[x](javascript:alert(1))",
    "[x](JaVaScRiPt:alert(1))",
    "[x](java&#115;cript:alert(1))",
    "[x](data:text/html,<script>)",
    "[x](vbscript:x)",
    "[x](file:///etc/passwd)",
    "[x](//elsewhere.example)",
    "[x](other.md)",
    "[x]\n\n[x]: javascript:alert(1)",
    "![x](https://elsewhere.example/spy.png)",
    "![x](spy.png)",
    "<javascript:alert(1)>",
    "<https://elsewhere.example>",
    "https://elsewhere.example www.elsewhere.example",
    '[x](https://a.example "t\\" onmouseover=\\"alert(1)")',
    '```js" onload="alert(1)\nx\n```',
    "|a|\n|:-:|\n|<script>|",
]


@pytest.mark.parametrize("text", NASTY)
def test_nasty_text_is_harmless(text: str) -> None:
    html = render_markdown(text)
    _Strict().feed(html)
    _Strict().feed(render_inline(text))
    assert "style=" not in html


@pytest.mark.parametrize(
    "text", ["![x](https://a.example/s.png)", "[x](javascript:alert)", "[x](other.md)", "<b>x</b>"]
)
def test_what_is_refused_stays_readable(text: str) -> None:
    assert render_inline(text) == text.replace("<", "&lt;").replace(">", "&gt;")


@given(st.text(alphabet=st.sampled_from("ab<>[]()!`*_#|:-\n \"'&/\\https:"), max_size=200))
def test_any_text_is_harmless(text: str) -> None:
    _Strict().feed(render_markdown(text))
    plain_text(text)


def test_links_that_are_allowed_tell_the_other_host_little() -> None:
    for url in ("https://a.example/?a=1", "http://a.example", "mailto:a@b.example"):
        assert render_inline(f"[x]({url})") == (
            f'<a href="{url}" rel="noopener noreferrer nofollow">x</a>'
        )


@pytest.mark.parametrize(
    ("text", "levels"),
    [
        ("# a\n## b\n### c\n# d", [3, 4, 5, 3]),
        ("## a\n#### b\n## c", [3, 4, 3]),
        ("### a\n# b", [3, 3]),
        ("# a\n## b\n### c\n#### d\n##### e", [3, 4, 5, 6, 6]),
        ("a\n=\nb\n-", [3, 4]),
    ],
)
def test_headings_begin_at_three_without_gaps(text: str, levels: list[int]) -> None:
    """WCAG 2.2 technique G141: headings that follow the structure of the page."""
    html = render_markdown(text)
    assert [int(level) for level in re.findall(r"<h(\d)>", html)] == levels
    assert [int(level) for level in re.findall(r"</h(\d)>", html)] == levels


def test_tables_have_headers_with_scope_and_classes_for_alignment() -> None:
    html = render_markdown("|part|g|\n|:-|-:|\n|spar|12|")
    assert '<th class="align-left" scope="col">part</th>' in html
    assert '<td class="align-right">12</td>' in html


def test_plain_text_keeps_the_words() -> None:
    text = "# Skins\n\nCut *two* `skins`, see\n[the plan](https://a.example).\n\n- a\n- b & c\n"
    assert plain_text(text) == "Skins Cut two skins, see the plan. a b & c"


def test_inline_has_no_paragraph() -> None:
    assert render_inline("**so** & so") == "<strong>so</strong> &amp; so"
