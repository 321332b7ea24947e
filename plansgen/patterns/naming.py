"""Keys of parts: small letters, digits and hyphens, from what builders call them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable


def key_of(*words: str) -> str:
    """A key from words; empty ones are left out."""
    text = " ".join(word for word in words if word)
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return "-".join(re.findall(r"[a-z0-9]+", plain)) or "part"


def unique(keys: Iterable[str]) -> list[str]:
    """The keys, later ones numbered where they repeat an earlier one."""
    taken: set[str] = set()
    found = []
    for key in keys:
        number, one = 1, key
        while one in taken:
            number += 1
            one = f"{key}-{number}"
        taken.add(one)
        found.append(one)
    return found
