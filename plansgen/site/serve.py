"""Preview a library while it is being written: build, serve, watch, build again."""

from __future__ import annotations

import contextlib
import errno
import tempfile
import threading
import time
import traceback
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver
from watchdog.observers.polling import PollingObserver

from plansgen.site.mishaps import mishap_lines
from plansgen.site.overlay import FOLDER
from plansgen.site.preview import Board, PreviewServer

QUIET = 0.15  # s without another change before a build begins; editors write in several steps
_FOLDERS = ("designs", FOLDER)
_CHANGES = frozenset({"created", "modified", "moved", "deleted"})  # reading a file is none

Build = Callable[[Path], str]  # builds the library into a folder, returns one line of summary
Tell = Callable[[str, bool], None]  # a line for the terminal, and whether it is bad news


class PortInUseError(Exception):
    """Another program listens on the port; the text says what to do."""


class Changes(FileSystemEventHandler):
    """Notes that something changed, and waits until it has been quiet for a moment."""

    def __init__(self, library: Path, observer: BaseObserver) -> None:
        self._library = library
        self._observer = observer
        self._followed: set[str] = set()
        self._happened = threading.Event()
        self._last = 0.0

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Called by the watcher, in its thread."""
        if event.event_type not in _CHANGES or (event.is_directory and _is_touch(event)):
            return
        paths = (str(event.src_path), str(event.dest_path or ""))
        if any(self._matters(Path(path)) for path in paths if path):
            self.note()

    def follow(self) -> None:
        """Watch also what has been made since, such as the first template of one's own."""
        for name in _FOLDERS:
            if name not in self._followed and (self._library / name).is_dir():
                self._observer.schedule(self, str(self._library / name), recursive=True)
                self._followed.add(name)

    def note(self) -> None:
        """Something changed just now."""
        self._last = time.monotonic()
        self._happened.set()

    def wait(self, timeout: float | None = None) -> bool:
        """Wait for a change, then for quiet; False if none came in time. [s]"""
        if not self._happened.wait(timeout):
            return False
        while (left := self._last + QUIET - time.monotonic()) > 0:
            time.sleep(left)
        self._happened.clear()
        return True

    def _matters(self, path: Path) -> bool:
        try:
            first, *rest = path.relative_to(self._library).parts
        except ValueError:
            return False
        hidden = any(part.startswith(".") or part.endswith("~") for part in rest)
        return first == "mkdocs.yml" or (first in _FOLDERS and not hidden)


def _is_touch(event: FileSystemEvent) -> bool:
    """A folder is modified whenever something in it is; that something tells of itself."""
    return event.event_type == "modified"


@contextmanager
def watched(library: Path) -> Iterator[Changes]:
    """Watch what a library's site is made from."""
    observer: BaseObserver = Observer()
    try:
        changes = _started(library, observer)
    except OSError:  # no watches left, or none on this file system: look again and again
        observer = PollingObserver()
        changes = _started(library, observer)
    try:
        yield changes
    finally:
        observer.stop()
        observer.join()


def _started(library: Path, observer: BaseObserver) -> Changes:
    changes = Changes(library, observer)
    observer.schedule(changes, str(library), recursive=False)
    changes.follow()
    observer.start()
    return changes


def rebuild(build: Build, site: Path, board: Board, tell: Tell) -> bool:
    """Build once, and tell terminal and browser how it went. Nothing an author writes ends it."""
    try:
        summary = build(site)
    except Exception as error:  # not even a fault of the program may end the preview
        problems = mishap_lines(error)
        if not problems:
            tell(traceback.format_exc().rstrip(), True)
            problems = (f"plansgen itself failed: {type(error).__name__}: {error}",)
    else:
        tell(summary, False)
        board.good()
        return True
    for problem in problems:
        tell(problem, True)
    count = f"{len(problems)} problem{'s' if len(problems) != 1 else ''}"
    kept = "the last good pages stay" if site.is_dir() else "waiting for a change"
    tell(f"{count}; {kept}.", True)
    board.bad(problems)
    return False


@contextmanager
def serving(site: Path, board: Board, port: int) -> Iterator[PreviewServer]:
    """Serve a folder in the background.

    Raises:
        PortInUseError: another program has the port, or it is not ours to take.
    """
    try:
        server = PreviewServer(site, board, port)
    except OSError as error:
        if error.errno not in (errno.EADDRINUSE, errno.EACCES):
            raise
        why = "is in use" if error.errno == errno.EADDRINUSE else "is not free for you to use"
        raise PortInUseError(
            f"Port {port} {why}; choose another: plansgen serve --port {_another(port)}"
        ) from error
    thread = threading.Thread(target=server.serve_forever, args=(0.1,), daemon=True)
    thread.start()
    try:
        yield server
    finally:
        board.close()
        server.shutdown()
        server.server_close()
        thread.join()


def _another(port: int) -> int:
    return port + 1 if 1024 <= port < 65535 else 8001


def serve(library: Path, *, build: Build, port: int, open_browser: bool, tell: Tell) -> None:
    """Serve a library until it is interrupted.

    The pages go into a private temporary folder, which is removed at the end; the library's own
    ``site/`` is not touched. The builds run here, in the main thread, so that Ctrl-C ends them at
    once.

    Raises:
        PortInUseError: before anything is built.
        KeyboardInterrupt: as usual.
    """
    board = Board()
    with tempfile.TemporaryDirectory(prefix="plansgen-serve-") as private:
        site = Path(private).resolve() / "site"
        with serving(site, board, port) as server, watched(library) as changes:
            tell("Building the site", False)
            seen = _stamps(library)
            rebuild(build, site, board, tell)
            tell(f"Serving {server.url} (Ctrl-C ends it)", False)
            if open_browser:
                webbrowser.open(server.url)
            while True:
                # A wait without an end cannot be interrupted everywhere.
                if not changes.wait(1.0):
                    continue
                changes.follow()
                if (now := _stamps(library)) != seen:
                    seen = now
                    rebuild(build, site, board, tell)


def _stamps(library: Path) -> frozenset[tuple[str, int, int]]:
    """Every file that counts, with its time and size: one save may come as several events."""
    found = [library / "mkdocs.yml"]
    for name in _FOLDERS:
        found.extend((library / name).rglob("*"))
    stamps = set()
    for path in found:
        with contextlib.suppress(OSError):  # gone again
            state = path.lstat()
            stamps.add((str(path), state.st_mtime_ns, state.st_size))
    return frozenset(stamps)
