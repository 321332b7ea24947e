"""The preview: what it serves, what it refuses, what it tells, and that an edit shows by itself."""

from __future__ import annotations

import http.client
import json
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from watchdog.observers import Observer

from plansgen.problems import BadInput, Problem
from plansgen.site import serve as serving_module
from plansgen.site.engine import EngineError
from plansgen.site.preview import Board, PreviewServer, find_file, waiting_page, with_script
from plansgen.site.serve import Changes, PortInUseError, rebuild, serve, serving, watched
from plansgen.starter.library import start_library

PAGE = b"<!doctype html><html><head><title>t</title></head><body><p>hello</p></body></html>"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    (folder / "designs" / "knot").mkdir(parents=True)
    (folder / "index.html").write_bytes(PAGE)
    (folder / "404.html").write_bytes(PAGE.replace(b"hello", b"lost"))
    (folder / "designs" / "knot" / "index.html").write_bytes(PAGE)
    (folder / "a b.svg").write_text("<svg/>")
    (folder / ".hidden").write_text("no")
    (tmp_path / "secret.txt").write_text("secret")
    return folder


@pytest.fixture
def board() -> Board:
    return Board()


@pytest.fixture
def server(site: Path, board: Board) -> Iterator[PreviewServer]:
    with serving(site, board, 0) as made:
        yield made


def ask(
    server: PreviewServer, path: str, *, host: str | None = None, method: str = "GET"
) -> tuple[int, dict[str, str], bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
    try:
        connection.putrequest(method, path, skip_host=True)
        connection.putheader("Host", f"localhost:{server.server_port}" if host is None else host)
        connection.endheaders()
        answer = connection.getresponse()
        return answer.status, dict(answer.getheaders()), answer.read()
    finally:
        connection.close()


# --- what is served ------------------------------------------------------------------------------


def test_pages_get_the_script_and_files_do_not(server: PreviewServer, site: Path) -> None:
    status, headers, body = ask(server, "/")
    assert status == 200
    assert headers["Cache-Control"] == "no-store"
    assert headers["Content-Type"] == "text/html; charset=utf-8"
    assert b'<script src="/_plansgen/reload.js" defer' in body
    assert body.index(b"reload.js") < body.index(b"</head>")
    assert (site / "index.html").read_bytes() == PAGE
    status, headers, body = ask(server, "/a%20b.svg?x=1")
    assert (status, headers["Content-Type"], body) == (200, "image/svg+xml", b"<svg/>")
    assert headers["X-Content-Type-Options"] == "nosniff"


def test_a_folder_is_its_index(server: PreviewServer) -> None:
    assert ask(server, "/designs/knot/")[0] == 200
    status, headers, _ = ask(server, "/designs/knot")
    assert (status, headers["Location"]) == (301, "/designs/knot/")
    # Never to another host.
    assert ask(server, "//designs/knot")[1].get("Location", "/x").startswith("/designs")


def test_what_is_not_there(server: PreviewServer) -> None:
    status, _, body = ask(server, "/nothing.html")
    assert status == 404
    assert b"lost" in body


def test_head_has_no_body(server: PreviewServer) -> None:
    status, headers, body = ask(server, "/", method="HEAD")
    assert (status, body) == (200, b"")
    assert int(headers["Content-Length"]) > len(PAGE)
    assert ask(server, "/", method="POST")[0] == 501


def test_the_script_is_packaged(server: PreviewServer) -> None:
    status, headers, body = ask(server, "/_plansgen/reload.js")
    assert status == 200
    assert headers["Content-Type"].startswith("text/javascript")
    assert b"EventSource" in body
    assert b"innerHTML" not in body


# --- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/designs/../../secret.txt",
        "/..%2fsecret.txt",
        "/%2e%2e%5csecret.txt",
        "/.hidden",
        "/a%00.html",
        "/%ff",
        "//etc/passwd",
        "/C:/secret.txt",
    ],
)
def test_nothing_outside_the_folder(server: PreviewServer, path: str) -> None:
    status, _, body = ask(server, path)
    assert status == 404
    assert b"secret" not in body


def test_no_link_leads_out(site: Path) -> None:
    try:
        (site / "out.txt").symlink_to(site.parent / "secret.txt")
        (site / "outside").symlink_to(site.parent)
        (site / "in.html").symlink_to(site / "index.html")
    except OSError:
        pytest.skip("this system makes no links")
    assert find_file(site, "/out.txt") is None
    assert find_file(site, "/outside/secret.txt") is None
    assert find_file(site, "/in.html") == site / "index.html"


@pytest.mark.parametrize("host", ["evil.example", "evil.example:{port}", "localhost:1", ""])
def test_other_hosts_are_refused(server: PreviewServer, host: str) -> None:
    """A foreign page that points its own name at this machine must not read the pages."""
    status, _, body = ask(server, "/", host=host.format(port=server.server_port))
    assert status == 421
    assert b"hello" not in body


@pytest.mark.parametrize("host", ["localhost:{port}", "127.0.0.1:{port}", "LocalHost:{port}"])
def test_own_hosts_are_answered(server: PreviewServer, host: str) -> None:
    assert ask(server, "/", host=host.format(port=server.server_port))[0] == 200


def test_only_this_machine_is_listened_to(server: PreviewServer) -> None:
    assert server.server_address[0] == "127.0.0.1"


def test_a_port_in_use_is_told(server: PreviewServer, site: Path) -> None:
    port = server.server_port
    with (
        pytest.raises(PortInUseError, match=rf"Port {port} is in use; choose another"),
        serving(site, Board(), port),
    ):
        pass


# --- what is told --------------------------------------------------------------------------------


def events(server: PreviewServer) -> tuple[http.client.HTTPResponse, http.client.HTTPConnection]:
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
    connection.request("GET", "/_plansgen/events")
    return connection.getresponse(), connection


def next_news(stream: http.client.HTTPResponse) -> dict[str, object]:
    while True:
        line = stream.readline()
        assert line, "the stream has ended"
        if line.startswith(b"data: "):
            return dict(json.loads(line[6:]))


def test_news_arrive_as_they_happen(server: PreviewServer, board: Board) -> None:
    stream, connection = events(server)
    first = next_news(stream)
    assert first["problems"] == []
    board.bad(["a", "b </script>"])
    assert next_news(stream) == {"build": first["build"], "problems": ["a", "b </script>"]}
    board.good()
    after = next_news(stream)
    assert after["build"] != first["build"]
    assert after["problems"] == []
    connection.close()


def test_waiting_pages_are_let_go_at_the_end(site: Path) -> None:
    board = Board()
    with serving(site, board, 0) as server:
        stream, connection = events(server)
        next_news(stream)
    assert stream.read().strip() == b""
    connection.close()


def test_without_a_site_the_problems_are_shown_as_text(tmp_path: Path, board: Board) -> None:
    with serving(tmp_path / "none", board, 0) as server:
        assert b"first build is running" in ask(server, "/")[2]
        board.bad(["<img src=x onerror=alert(1)>"])
        status, headers, body = ask(server, "/any/page.html")
    assert status == 503
    assert b"&lt;img src=x" in body
    assert b"<img" not in body
    assert "script-src 'self'" in headers["Content-Security-Policy"]
    assert b"reload.js" in body


def test_a_page_without_a_head_still_gets_the_script() -> None:
    assert with_script(b"<p>x", "7").endswith(b'data-build="7"></script>')
    assert b"<h1>" in waiting_page([])


# --- building again ------------------------------------------------------------------------------


def run_rebuild(error: Exception | None, site: Path) -> tuple[bool, Board, list[str]]:
    board, told = Board(), []

    def build(_: Path) -> str:
        if error is not None:
            raise error
        return "done"

    good = rebuild(build, site, board, lambda line, bad: told.append(f"{bad:d} {line}"))
    return good, board, told


def test_a_good_build_is_told_and_shown(tmp_path: Path) -> None:
    good, board, told = run_rebuild(None, tmp_path)
    assert good
    assert told == ["0 done"]
    assert board.news.build.endswith("-1")


@pytest.mark.parametrize(
    ("error", "line"),
    [
        (BadInput([Problem("designs/knot/design.yaml", 3, "name", "is missing")]), "is missing"),
        (EngineError("a page links to nothing"), "a page links to nothing"),
        (PermissionError(13, "Permission denied", "/x"), "/x: no permission"),
        (ValueError("oh"), "plansgen itself failed: ValueError: oh"),
    ],
)
def test_no_bad_build_ends_the_preview(error: Exception, line: str, tmp_path: Path) -> None:
    good, board, told = run_rebuild(error, tmp_path)
    assert not good
    assert any(line in problem for problem in board.news.problems)
    assert told[-1] == "1 1 problem; the last good pages stay."
    assert board.news.build.endswith("-0")


def changes_of(library: Path, edit: Path, text: str = "x") -> bool:
    with watched(library) as changes:
        time.sleep(0.1)
        edit.write_text(text)
        return changes.wait(3.0)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "designs" / "knot").mkdir(parents=True)
    (tmp_path / "site_templates").mkdir()
    (tmp_path / "site").mkdir()
    (tmp_path / "mkdocs.yml").write_text("site_name: x")
    return tmp_path


@pytest.mark.parametrize(
    "name", ["designs/knot/design.yaml", "mkdocs.yml", "site_templates/index.md.j2"]
)
def test_what_the_site_is_made_from_is_watched(library: Path, name: str) -> None:
    assert changes_of(library, library / name)


@pytest.mark.parametrize("name", ["site/index.html", "notes.txt", "designs/knot/.design.yaml.swp"])
def test_other_files_are_not(library: Path, name: str) -> None:
    with watched(library) as changes:
        (library / name).write_text("x")
        assert not changes.wait(0.5)


def test_reading_is_no_change(library: Path) -> None:
    with watched(library) as changes:
        (library / "mkdocs.yml").read_text()
        assert not changes.wait(0.5)


def test_several_writes_are_one_change(library: Path) -> None:
    changes = Changes(library, Observer())
    for _ in range(3):
        changes.note()
    assert changes.wait(0)
    assert not changes.wait(0)


def test_a_template_folder_made_meanwhile_is_watched_too(library: Path) -> None:
    (library / "site_templates").rmdir()
    with watched(library) as changes:
        (library / "site_templates").mkdir()
        assert changes.wait(3.0)
        changes.follow()
        (library / "site_templates" / "index.md.j2").write_text("x")
        assert changes.wait(3.0)


# --- all of it, in a browser ---------------------------------------------------------------------


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    opened = browser.new_page()
    yield opened
    opened.close()


class _EndError(Exception):
    """Ends the endless loop of the preview in a test."""


@pytest.fixture
def preview(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Path, str, int]]:
    """A started library under preview with a build that is quick: it shows the design's name."""
    library = tmp_path / "plans"
    start_library(library, site_name="Plans")
    design = library / "designs" / "sanderling" / "design.yaml"
    design.write_text("bad: true\n")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    ended, ready = threading.Event(), threading.Event()
    wait = Changes.wait

    def until_ended(self: Changes, timeout: float | None = None) -> bool:
        if ended.is_set():
            raise _EndError
        return wait(self, min(timeout or 0.2, 0.2))

    monkeypatch.setattr(serving_module.Changes, "wait", until_ended)

    def build(site: Path) -> str:
        text = design.read_text()
        if text.startswith("bad"):
            raise BadInput([Problem("design.yaml", 1, "bad", "<b>is</b> wrong")])
        site.mkdir(exist_ok=True)
        policy = "default-src 'none'; script-src 'self'; connect-src 'self'; style-src 'self'"
        (site / "index.html").write_text(
            f'<!doctype html><html lang="en"><head><title>{text.strip()}</title>'
            f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
            "</head><body><h1>page</h1></body></html>"
        )
        return "done"

    def run() -> None:
        def tell(line: str, _bad: bool) -> None:
            if line.startswith("Serving"):
                ready.set()

        try:
            serve(library, build=build, port=port, open_browser=False, tell=tell)
        except _EndError:
            return

    thread = threading.Thread(target=run)
    thread.start()
    assert ready.wait(10)
    yield design, f"http://127.0.0.1:{port}/", port
    ended.set()
    thread.join(10)
    assert not thread.is_alive()


@pytest.mark.browser
def test_an_edit_shows_by_itself(preview: tuple[Path, str, int], page: Page) -> None:
    design, url, _ = preview
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    banner = page.locator('.pg-banner[role="alert"]')

    page.goto(url)
    assert page.locator("main li").inner_text() == "design.yaml:1: bad: <b>is</b> wrong"

    design.write_text("one")
    expect(page).to_have_title("one")
    assert banner.count() == 0

    design.write_text("bad")
    banner.wait_for()
    assert "design.yaml:1: bad: <b>is</b> wrong" in banner.inner_text()
    assert banner.locator("b").count() == 0
    assert page.title() == "one"
    assert page.locator("h1").is_visible()
    above, below = banner.bounding_box(), page.locator("h1").bounding_box()
    assert above is not None
    assert below is not None
    assert above["y"] + above["height"] <= below["y"]
    colour = page.evaluate("getComputedStyle(document.querySelector('.pg-banner')).color")
    assert colour == "rgb(255, 255, 255)"  # the security policy let the style through

    page.reload()  # the banner is there again for a page that is loaded later
    banner.wait_for()

    design.write_text("two")
    expect(page).to_have_title("two")
    assert banner.count() == 0
    # The waiting page answers 503, which a browser mentions; nothing else is said.
    assert [text for text in said if "503" not in text] == []
