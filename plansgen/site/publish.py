"""Put a finished site where the old one stands, in one step that cannot be half done.

A new site is built in a staging folder beside the live one and then exchanged with it. A
kill at any moment leaves a whole site; what it may leave besides, the next build clears.
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

MARKER = ".plansgen-site"
_MARKER_TEXT = "Written by plansgen; replaced as a whole by the next build.\n"


class PublishError(Exception):
    """The site cannot be put in place; the text says why and what to do."""


@contextmanager
def staging(live: Path) -> Iterator[Path]:
    """Give an empty folder beside ``live`` to build in, then clear it away.

    Only one build at a time may hold it; a killed build lets go of it. Call ``publish``
    inside the ``with`` block. ``live`` may be a link: the folder it points to is meant.

    Raises:
        PublishError: another build is running, or ``live`` holds something else than a site.
    """
    live = _real(live)
    with locked(live):
        new = _prepare(live)
        try:
            yield new
        finally:
            _remove(new)


def publish(new: Path, live: Path) -> None:
    """Make the finished folder ``new`` the live site; the old one, if any, is removed.

    Raises:
        PublishError: ``live`` is not a site of ours, or the system refused the move; the
            old site is then still there.
    """
    live = _real(live)
    _refuse_foreign(live)
    _mark(new)
    try:
        if not live.exists():
            new.rename(live)
        elif _exchange(new, live):
            _remove(new)
        else:
            _replace_in_two_steps(new, live)
    except OSError as error:
        raise PublishError(f"cannot put the new site at {live}: {error}") from error


def recover(live: Path) -> None:
    """Clear what a killed build left beside ``live`` and bring a lost live folder back.

    Raises:
        PublishError: another build is running.
    """
    live = _real(live)
    if live.parent.is_dir():
        with locked(live):
            _recover(live)


def _real(live: Path) -> Path:
    real = Path(os.path.realpath(live))
    if not real.name:
        raise PublishError(f"{real} cannot be the site: name a folder")
    return real


def _new(live: Path) -> Path:
    return live.with_name(f".{live.name}-new")


def _old(live: Path) -> Path:
    return live.with_name(f".{live.name}-old")


def _prepare(live: Path) -> Path:
    try:
        _recover(live)
        _refuse_foreign(live)
        new = _new(live)
        new.mkdir()
        _mark(new)
    except OSError as error:
        raise PublishError(f"cannot prepare {live}: {error}") from error
    return new


def _recover(live: Path) -> None:
    old = _old(live)
    # Killed between the two renames: the old site is whole and known to be good.
    if _is_ours(old) and not live.exists():
        old.rename(live)
    for leftover in (_new(live), old):
        if leftover.is_dir():
            _refuse_foreign(leftover)
            _remove(leftover)


def _mark(folder: Path) -> None:
    marker = folder / MARKER
    if not marker.exists():
        marker.write_text(_MARKER_TEXT, encoding="utf-8", newline="\n")


def _is_ours(folder: Path) -> bool:
    return folder.is_dir() and ((folder / MARKER).is_file() or not any(folder.iterdir()))


def _refuse_foreign(folder: Path) -> None:
    if folder.exists() and not _is_ours(folder):
        raise PublishError(
            f"{folder} was not written by plansgen and is not empty, so it is left alone; "
            "name another folder for the site, or move this one away"
        )


def _remove(folder: Path) -> None:
    """Remove a folder of ours, its marker last: killed midway it is still known as ours."""
    if not folder.exists():
        return
    for entry in sorted(folder.iterdir()):
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry)
        elif entry.name != MARKER:
            entry.unlink()
    (folder / MARKER).unlink(missing_ok=True)
    folder.rmdir()


def _replace_in_two_steps(new: Path, live: Path) -> None:
    """Where folders cannot be exchanged: for a moment there is no live site."""
    old = _old(live)
    live.rename(old)
    try:
        new.rename(live)
    except OSError:
        old.rename(live)
        raise
    _remove(old)


def _exchange(one: Path, other: Path) -> bool:
    """Swap two folders in one step; False where the system cannot.

    Linux: renameat2(2) with RENAME_EXCHANGE; macOS: renamex_np(2) with RENAME_SWAP.
    """
    at_cwd, exchange, swap = -100, 2, 2
    first, second = os.fsencode(one), os.fsencode(other)
    if sys.platform == "linux":
        call, arguments = "renameat2", (at_cwd, first, at_cwd, second, exchange)
    elif sys.platform == "darwin":
        call, arguments = "renamex_np", (first, second, swap)
    else:
        return False
    function = getattr(ctypes.CDLL(None, use_errno=True), call, None)
    if function is None:
        return False
    if function(*arguments) == 0:
        return True
    code = ctypes.get_errno()
    if code in (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP):
        return False
    raise OSError(code, os.strerror(code), str(other))


@contextmanager
def locked(live: Path) -> Iterator[None]:
    """Hold the system's lock on a file beside ``live``; the system frees it after a kill.

    Raises:
        PublishError: another build holds it.
    """
    path = live.with_name(f".{live.name}.lock")
    while True:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle = path.open("a+b")
        except OSError as error:
            raise PublishError(f"cannot write beside {live}: {error}") from error
        try:
            _lock_file(handle)
        except OSError as error:
            handle.close()
            raise PublishError(
                f"another build of {live} is running; wait until it has finished"
            ) from error
        if _same_file(handle, path):
            break
        handle.close()  # the last holder removed the file just before we got its lock
    try:
        yield
    finally:
        if sys.platform != "win32":
            path.unlink()
        handle.close()


def _same_file(handle: IO[bytes], path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle.fileno()), path.stat())
    except FileNotFoundError:
        return False


if sys.platform == "win32":
    import msvcrt

    def _lock_file(handle: IO[bytes]) -> None:
        handle.seek(0)
        msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock_file(handle: IO[bytes]) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
