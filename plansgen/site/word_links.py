"""Links from a field word to what it means, where it first stands on a page."""

from __future__ import annotations

import re
from functools import cache

from plansgen.library.tables import field_words

_PARTS = re.compile(r"(<[^>]*>)")
_TAG = re.compile(r"</?([a-zA-Z][a-zA-Z0-9]*)")
_VOID = frozenset({"br", "img", "input", "hr", "wbr", "col", "source", "link", "meta"})
# Where a link would be wrong: in another one, in what is pressed, in a title or a label, in a
# drawing; and in a caution, whose words nothing should lead away from.
_TITLES = frozenset({"h1", "h2", "h3", "h4", "h5", "h6", "title", "dt"})
_PRESSED = frozenset({"a", "summary", "button", "label", "select", "form", "nav"})
_NO_TEXT = frozenset({"svg", "figure", "table", "dl", "code", "pre", "script", "style"})
_CLOSED = _TITLES | _PRESSED | _NO_TEXT
_CLOSED_CLASS = re.compile(r'class="[^"]*\b(?:pg-caution|pg-signal|pg-again|pg-bench)\b')


@cache
def _pattern() -> tuple[re.Pattern[str], dict[str, str]]:
    """One pattern for all words, the longest first, and the entry each of them belongs to."""
    entries: dict[str, str] = {}
    for word in field_words():
        if word.linked:
            entries |= {form.lower(): word.id for form in (word.word, *word.also)}
    forms = sorted(entries, key=lambda form: (-len(form), form))
    alternatives = "|".join(re.escape(form) for form in forms)
    return re.compile(rf"(?<![\w-])({alternatives})(s?)(?![\w-])", re.IGNORECASE), entries


def link_words(text: str, page: str) -> str:
    """A page's text with its field words linked, each where it first stands.

    text: Markdown with HTML in it, front matter first. page: address of the page of words.
    """
    _, fence, rest = text.partition("\n---\n")
    if not text.startswith("---\n") or not fence:
        return text
    head = text[: len(text) - len(rest)]
    seen: set[str] = set()
    pieces: list[str] = []
    shut: list[str] = []  # the element that closes a stretch to links, and all open ones within
    for piece in _PARTS.split(rest):
        if piece.startswith("<"):
            _follow(piece, shut)
            pieces.append(piece)
        elif shut or not piece.strip():
            pieces.append(piece)
        else:
            pieces.append("\n".join(_linked(line, page, seen) for line in piece.split("\n")))
    return head + "".join(pieces)


def _follow(tag: str, shut: list[str]) -> None:
    """Keep account of whether the text after a tag is closed to links."""
    found = _TAG.match(tag)
    if found is None or found[1].lower() in _VOID or tag.endswith("/>"):
        return
    name = found[1].lower()
    if tag.startswith("</"):
        if shut and shut[-1] == name:
            shut.pop()
    elif shut or name in _CLOSED or _CLOSED_CLASS.search(tag):
        shut.append(name)


def _linked(line: str, page: str, seen: set[str]) -> str:
    if line.startswith("#"):  # a heading of Markdown
        return line
    pattern, entries = _pattern()

    def link(found: re.Match[str]) -> str:
        entry = entries[found[1].lower()]
        if entry in seen:
            return found[0]
        seen.add(entry)
        return f'<a class="pg-word" href="{page}#word-{entry}">{found[0]}</a>'

    return pattern.sub(link, line)
