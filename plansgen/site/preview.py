"""The preview's web server: files of one folder, to one machine, with news of each rebuild."""

from __future__ import annotations

import html
import json
import os
import secrets
import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import unquote, urlsplit

ADDRESS = "127.0.0.1"  # only: a preview is not for other machines
SCRIPT = "/_plansgen/reload.js"
EVENTS = "/_plansgen/events"
_HEARTBEAT = 15.0  # s; tells a browser that has gone from one that only waits

# Fixed here: the system's own table may lack or distort an entry.
_TYPES = {
    ".css": "text/css; charset=utf-8",
    ".dxf": "image/vnd.dxf",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/x-icon",
    ".jpeg": "image/jpeg",
    ".jpg": "image/jpeg",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".map": "application/json",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".webp": "image/webp",
    ".woff": "font/woff",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
}
_POLICY = "default-src 'none'; script-src 'self'; connect-src 'self'; style-src 'self'"


@dataclass(frozen=True)
class News:
    """What the browser is told: which build the site is, and what is wrong with the files now."""

    build: str
    problems: tuple[str, ...] = ()


class Board:
    """Where the builder leaves news and every open page waits for it."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        # A number alone would look the same again after a restart.
        self._run, self._count = secrets.token_hex(4), 0
        self._news = News(f"{self._run}-0")
        self._is_open = True

    @property
    def news(self) -> News:
        """The latest."""
        with self._changed:
            return self._news

    @property
    def is_open(self) -> bool:
        """Whether more news may come."""
        return self._is_open

    def good(self) -> None:
        """Tell of a new site."""
        with self._changed:
            self._count += 1
            self._news = News(f"{self._run}-{self._count}")
            self._changed.notify_all()

    def bad(self, problems: Sequence[str]) -> None:
        """Tell what is wrong; the site stays the last good one."""
        with self._changed:
            self._news = replace(self._news, problems=tuple(problems))
            self._changed.notify_all()

    def close(self) -> None:
        """Let every waiting page go."""
        with self._changed:
            self._is_open = False
            self._changed.notify_all()

    def wait(self, known: News | None, timeout: float) -> News:
        """Return the latest news once it is no longer what is known, or after a time. [s]"""
        with self._changed:
            self._changed.wait_for(lambda: self._news != known or not self._is_open, timeout)
            return self._news


def find_file(site: Path, path: str) -> Path | None:
    """The file of a site that an address means, or None if it has none.

    path: of the URL, still with its percent signs. Nothing outside the folder is ever found:
    not by dots, not by a drive or backslash, not through a link that leads out.
    """
    try:
        plain = unquote(path, errors="strict")
    except UnicodeDecodeError:
        return None
    parts = PurePosixPath(plain).parts[1:] if plain.startswith("/") else ("..",)
    if any(part.startswith(".") or set(part) & set('\\:\0*?"<>|') for part in parts):
        return None
    root = site.resolve()
    found = root.joinpath(*parts)
    if found.is_dir():
        found = found / "index.html"
    real = found.resolve()
    return real if real.is_relative_to(root) and real.is_file() else None


def with_script(page: bytes, build: str) -> bytes:
    """A page with the reload script in its head; the file on disk has none."""
    tag = f'<script src="{SCRIPT}" defer data-build="{html.escape(build)}"></script>'.encode()
    head, mark, rest = page.partition(b"</head>")
    return head + tag + mark + rest if mark else page + tag


def waiting_page(problems: Sequence[str]) -> bytes:
    """What is shown while there is no good site yet; the script adds what is wrong."""
    listed = "".join(f"<li>{html.escape(problem)}</li>\n" for problem in problems)
    told = f"<ul>\n{listed}</ul>" if listed else "<p>The first build is running.</p>"
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width">\n'
        '<meta name="color-scheme" content="light dark">\n'
        "<title>No pages yet</title>\n</head>\n<body>\n<main>\n<h1>No pages yet</h1>\n"
        f"{told}\n<p>This page shows the site as soon as a build succeeds.</p>\n"
        "</main>\n</body>\n</html>\n"
    ).encode()


class PreviewServer(ThreadingHTTPServer):
    """Serves a site folder on this machine only."""

    daemon_threads = True
    # On Windows that option would let two programs share one port.
    allow_reuse_address = os.name != "nt"

    def __init__(self, site: Path, board: Board, port: int) -> None:
        super().__init__((ADDRESS, port), _Handler)
        self.site = site
        self.board = board

    @property
    def url(self) -> str:
        """Where the site is seen."""
        return f"http://{ADDRESS}:{self.server_port}/"

    @property
    def hosts(self) -> frozenset[str]:
        """Host headers that are answered; a foreign one may be a page that rebinds its name."""
        names = (ADDRESS, "localhost")
        bare = frozenset(names) if self.server_port == 80 else frozenset()
        return bare | {f"{name}:{self.server_port}" for name in names}

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that closes a page early is no news."""


class _Handler(BaseHTTPRequestHandler):
    server: PreviewServer
    server_version = "plansgen"
    sys_version = ""

    def do_GET(self) -> None:
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        self._answer(with_body=False)

    def log_message(self, format: str, *args: Any) -> None:
        """The terminal is for builds and problems."""

    def _answer(self, *, with_body: bool) -> None:
        if self.headers.get("Host", "").lower() not in self.server.hosts:
            self._send(HTTPStatus.MISDIRECTED_REQUEST, _TYPES[".txt"], b"Not here.\n", with_body)
            return
        path = urlsplit(self.path).path
        if path == EVENTS:
            self._send_events(with_body=with_body)
        elif path == SCRIPT:
            script = files("plansgen.site").joinpath("reload.js").read_bytes()
            self._send(HTTPStatus.OK, _TYPES[".js"], script, with_body)
        elif not self.server.site.is_dir():
            self._send_waiting(with_body)
        else:
            self._send_file(path, with_body)

    def _send_waiting(self, with_body: bool) -> None:
        news = self.server.board.news
        page = with_script(waiting_page(news.problems), news.build)
        self._send(HTTPStatus.SERVICE_UNAVAILABLE, _TYPES[".html"], page, with_body, _POLICY)

    def _send_file(self, path: str, with_body: bool) -> None:
        site, build = self.server.site, self.server.board.news.build
        status, found = HTTPStatus.OK, find_file(site, path)
        if found is not None and found.name == "index.html" and not path.endswith((".html", "/")):
            self._redirect(path + "/")
            return
        if found is None:
            status, found = HTTPStatus.NOT_FOUND, find_file(site, "/404.html")
        try:
            data = found.read_bytes() if found else b"There is no such page.\n"
        except OSError:  # a new site took its place just now
            status, found, data = HTTPStatus.NOT_FOUND, None, b"Gone. Load it again.\n"
        kind = _TYPES.get(found.suffix.lower() if found else ".txt", "application/octet-stream")
        if kind == _TYPES[".html"]:
            data = with_script(data, build)
        self._send(status, kind, data, with_body)

    def _redirect(self, path: str) -> None:
        """To the folder's own address; two slashes at its start would name another host."""
        self.send_response(HTTPStatus.MOVED_PERMANENTLY)
        self.send_header("Location", "/" + path.lstrip("/"))
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _send(
        self, status: HTTPStatus, kind: str, data: bytes, with_body: bool, policy: str = ""
    ) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        if policy:
            self.send_header("Content-Security-Policy", policy)
        self.end_headers()
        if with_body:
            self.wfile.write(data)

    def _send_events(self, *, with_body: bool) -> None:
        """Server-sent events: the news now, and again whenever it changes."""
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", "text/event-stream; charset=utf-8")
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        if not with_body:
            return
        board, told = self.server.board, None
        self.wfile.write(b"retry: 1000\n\n")
        while True:
            news = board.wait(told, _HEARTBEAT)
            if not board.is_open:
                return
            if news == told:
                self.wfile.write(b": still here\n\n")
            else:
                data = json.dumps({"build": news.build, "problems": news.problems})
                self.wfile.write(f"data: {data}\n\n".encode())
            self.wfile.flush()
            told = news
