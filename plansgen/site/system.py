"""What the operating system refuses, in plain words."""

from __future__ import annotations

import errno

_OS_WORDS = {
    errno.EACCES: "no permission",
    errno.EPERM: "no permission",
    errno.ENOSPC: "the disk is full",
    errno.EROFS: "the disk is read-only",
}


def os_words(error: OSError) -> str:
    """What the system refused, in one line."""
    what = _OS_WORDS.get(error.errno or 0) or error.strerror or str(error)
    return f"{error.filename}: {what}" if error.filename else what
