"""Markdown of design text to HTML that is safe in a page with a strict Content-Security-Policy.

Raw HTML, pictures and links with other schemes than http, https and mailto stay visible as the
text that was typed; so do link reference definitions, with which a short text makes a huge page.
Nothing is emitted that carries a style or a script.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

_LINK = re.compile(r"(https?://|mailto:)[^\s\x00-\x1f]", re.IGNORECASE)
_TOP_HEADING = 3  # the page's own headings are levels 1 and 2
Kind = Literal["heading", "paragraph", "bullets", "numbered"]
_LISTS: Mapping[str, Kind] = {
    "bullet_list_open": "bullets",
    "bullet_list_close": "bullets",
    "ordered_list_open": "numbered",
    "ordered_list_close": "numbered",
    "table_open": "bullets",
    "table_close": "bullets",
}
_ALIGNED = re.compile(r"text-align:(left|center|right)")


def render_markdown(text: str) -> str:
    """Return safe HTML of Markdown text: CommonMark and tables, headings from level 3 down."""
    parser = _parser()
    tokens = parser.parse(text)
    _outline(tokens)
    for token in tokens:
        _no_inline_style(token)
    html: str = parser.renderer.render(tokens, parser.options, {})
    return html


def render_inline(text: str) -> str:
    """Return safe HTML of one line of Markdown text, without a paragraph around it."""
    html: str = _parser().renderInline(text)
    return html


def plain_text(text: str) -> str:
    """Return the words of Markdown text on one line, without marks; not escaped for HTML."""
    words = " ".join(_words(_parser().parse(text)))
    return " ".join(words.split())


@dataclass(frozen=True)
class PlainBlock:
    """A block of text without marks; a list has a line an item, a table a line a row."""

    kind: Kind
    lines: tuple[str, ...]


def plain_blocks(text: str) -> tuple[PlainBlock, ...]:
    """Return Markdown text as plain blocks, for where there is no HTML; nothing is escaped."""
    found: list[PlainBlock] = []
    gathered: list[str] = []
    depth = 0
    kind: Kind = "paragraph"
    for token in _parser().parse(text):
        if token.type in _LISTS:
            depth += token.nesting
            if token.nesting == 1 and depth == 1:
                gathered, kind = [], _LISTS[token.type]
            elif depth == 0:
                found += [PlainBlock(kind, tuple(gathered))] if gathered else []
                kind = "paragraph"
        elif token.type in ("list_item_open", "tr_open"):
            gathered.append("")
        elif token.type == "heading_open":
            kind = "heading"
        elif token.type in ("inline", "code_block", "fence"):
            words = " ".join(" ".join(_words([token])).split())
            if depth and gathered:
                gathered[-1] = ", ".join(filter(None, (gathered[-1], words)))
            elif words:
                found.append(PlainBlock(kind, (words,)))
            if not depth:
                kind = "paragraph"
    return tuple(found)


@cache
def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"html": False, "linkify": False}).enable("table")
    parser.disable(["autolink", "html_block", "html_inline", "reference"])
    parser.validateLink = _is_allowed_link  # type: ignore[method-assign]
    parser.add_render_rule("link_open", _link_open)
    parser.add_render_rule("image", _image_as_text)
    return parser


def _is_allowed_link(url: str) -> bool:
    return _LINK.match(url) is not None


def _link_open(
    renderer: RendererHTML,
    tokens: Sequence[Token],
    index: int,
    options: OptionsDict,
    env: EnvType,
) -> str:
    """Open a link that tells the other host as little as may be."""
    tokens[index].attrSet("rel", "noopener noreferrer nofollow")
    html: str = renderer.renderToken(tokens, index, options, env)
    return html


def _image_as_text(
    renderer: RendererHTML,  # noqa: ARG001 - the renderer calls every rule alike
    tokens: Sequence[Token],
    index: int,
    options: OptionsDict,  # noqa: ARG001
    env: EnvType,  # noqa: ARG001
) -> str:
    """Show a picture as it was typed: pictures are named in the front matter, with their alt."""
    escaped: str = escapeHtml(f"![{tokens[index].content}]({tokens[index].attrGet('src')})")
    return escaped


def _outline(tokens: Iterable[Token]) -> None:
    """Number the headings from level 3 without gaps, however the author numbered them."""
    open_levels: list[int] = []
    tag = ""
    for token in tokens:
        if token.type == "heading_open":
            level = int(token.tag[1])
            while open_levels and open_levels[-1] >= level:
                open_levels.pop()
            open_levels.append(level)
            tag = f"h{min(6, _TOP_HEADING - 1 + len(open_levels))}"
        if token.type in ("heading_open", "heading_close"):
            token.tag = tag


def _no_inline_style(token: Token) -> None:
    """Turn a table cell's alignment into a class, which the page's policy lets through."""
    style = token.attrs.pop("style", None)
    if style and (found := _ALIGNED.fullmatch(str(style))):
        token.attrSet("class", f"align-{found[1]}")
    if token.type == "th_open":
        token.attrSet("scope", "col")


def _words(tokens: Iterable[Token]) -> Iterable[str]:
    """Give the text of each block; marks inside a block do not part words."""
    for token in tokens:
        if token.type == "inline":
            yield "".join(_inline_words(token.children or ()))
        elif token.type in ("code_block", "fence"):
            yield token.content


def _inline_words(tokens: Iterable[Token]) -> Iterable[str]:
    for token in tokens:
        if token.type in ("softbreak", "hardbreak"):
            yield " "
        elif token.type in ("text", "code_inline", "text_special", "image"):
            yield token.content
