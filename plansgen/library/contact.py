"""The setting for where builders write to: a mail address, or the address of an issue form."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote, urlsplit

from plansgen.library.settings import FILE, extra_setting
from plansgen.problems import BadInput, Problem

ALLOWED = (
    '"mailto:name@example.org", or an https address with {subject} or {body} after its question '
    'mark, such as "https://example.org/new?title={subject}&text={body}"'
)
_LONGEST = 300
_FIELD = "extra.contact"

# RFC 3986, 2: what an address is written with; the two places to fill in are ours.
_WRITTEN = re.compile(r"(?:[A-Za-z0-9._~:/?#\[\]@!$&'()*+,;=-]|%[0-9A-Fa-f]{2})*")
_PLACE = re.compile(r"\{(subject|body)\}")
# Fewer signs than a mailbox may have: those that RFC 6068, 2 wants no percent sign for.
_MAILBOX = re.compile(r"[\w.+~-]+@[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)+", re.ASCII)


@dataclass(frozen=True)
class Contact:
    """An address that :func:`problem_of` finds nothing wrong with."""

    address: str

    def link(self, subject: str, body: str) -> str:
        """The address with a letter begun in it, ready for a link.

        Encoded as RFC 3986, 2.1 and RFC 6068, 5 want it, where a line of a mail ends in CR LF.
        """
        mail = self.address.startswith("mailto:")
        end = "\r\n" if mail else "\n"
        filled = {
            "subject": quote(subject, safe="", errors="replace"),
            "body": quote(end.join(body.split("\n")), safe="", errors="replace"),
        }
        address = self.address
        if mail and "?" not in address:
            address += "?subject={subject}&body={body}"
        return _PLACE.sub(lambda found: filled[found[1]], address)


def contact_of(library: Path) -> Contact | None:
    """Where builders write to, by ``extra: contact:`` of a library's mkdocs.yml; None if nowhere.

    Raises:
        BadInput: the setting cannot be used, or the file cannot be read as YAML.
    """
    given = extra_setting(library, "contact")
    if given is None:
        return None
    words = problem_of(given)
    if words:
        raise BadInput([Problem(FILE, 0, _FIELD, words, ALLOWED)])
    return Contact(str(given))


def problem_of(value: object) -> str:
    """What is wrong with such an address, in words; nothing when it can be used."""
    if not isinstance(value, str):
        return f'"{str(value)[:40]}" is not an address'
    if len(value) > _LONGEST:
        return f"is longer than {_LONGEST} characters"
    bare = _PLACE.sub("", value)
    if not _WRITTEN.fullmatch(bare):
        return f'"{value[:60]}" holds something that no address holds, or an unknown {{…}}'
    if value.startswith("mailto:"):
        return _problem_of_mail(value)
    if value.startswith("https://"):
        return _problem_of_form(value)
    return f'"{value[:60]}" begins with neither mailto: nor https://'


def _problem_of_mail(value: str) -> str:
    mailbox, asks, query = value.removeprefix("mailto:").partition("?")
    if not _MAILBOX.fullmatch(mailbox):
        return f'"{mailbox[:60]}" is not a mail address'
    return "has no place to fill in" if asks and not _PLACE.search(query) else ""


def _problem_of_form(value: str) -> str:
    try:
        parts = urlsplit(value)
        host, _port = parts.hostname, parts.port
    except ValueError:
        return f'"{value[:60]}" is not an address'
    if not host or "@" in parts.netloc or _PLACE.search(parts.netloc + parts.path):
        return f'"{value[:60]}" does not name a page of a site'
    return "" if _PLACE.search(parts.query) else "has no place to fill in"
