"""How heavy and how quick an overview is on a tablet: ``python -m tests.bench.bench_page SITE``.

The profile is a slow tablet on a poor network: a processor four times slower than this one, 1.6
Mbit/s and 150 ms to the server and back. Files are served compressed, as every host does. Prints
what the first load weighs, when something and when the largest thing is painted, and how far the
page shifts while it loads; exit code 1 where a goal is missed.
"""

from __future__ import annotations

import gzip
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urlsplit

from playwright.sync_api import Browser, sync_playwright

from tests.conftest import FLAGS

KILOBYTE = 1000
GOALS = {"weight": 150 * KILOBYTE, "paint": 1000.0, "shift": 0.0}
"""Bytes, milliseconds, and the share of the screen that moves; shift is told to a hundredth."""

KINDS = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css",
    ".js": "text/javascript",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
}
PACKED = frozenset({".html", ".css", ".js", ".json", ".svg"})

WATCH = """() => {
  window.shift = 0;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shift += entry.value;
  }).observe({ type: "layout-shift", buffered: true });
  new PerformanceObserver((list) => {
    window.largest = list.getEntries().at(-1).startTime;
  }).observe({ type: "largest-contentful-paint", buffered: true });
}"""
READ = """() => ({
  shift: window.shift,
  largest: window.largest ?? 0,
  paint: performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? 0,
})"""


@contextmanager
def compressed(folder: Path) -> Iterator[tuple[str, list[int]]]:
    """Serve a folder with gzip; the list holds the bytes of every answer."""
    sent: list[int] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            path = folder / unquote(urlsplit(self.path).path).lstrip("/")
            if not path.is_file() or folder not in path.resolve().parents:
                self.send_error(404)
                return
            data = path.read_bytes()
            packed = path.suffix in PACKED
            if packed:
                data = gzip.compress(data, 6, mtime=0)
            self.send_response(200)
            self.send_header("Content-Type", KINDS.get(path.suffix, "application/octet-stream"))
            self.send_header("Content-Length", str(len(data)))
            if packed:
                self.send_header("Content-Encoding", "gzip")
            self.end_headers()
            self.wfile.write(data)
            sent.append(len(data))

        def log_message(self, format: str, *args: object) -> None:
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}", sent
        server.shutdown()


def measured(browser: Browser, address: str, sent: list[int]) -> dict[str, float]:
    """One first visit to a page, nothing kept from before."""
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    session.send(
        "Network.emulateNetworkConditions",
        {
            "offline": False,
            "latency": 150,
            "downloadThroughput": 1.6e6 / 8,
            "uploadThroughput": 0.75e6 / 8,
        },
    )
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    page.add_init_script(f"({WATCH})()")
    sent.clear()
    page.goto(address, wait_until="networkidle")
    page.wait_for_timeout(500)
    found: dict[str, float] = page.evaluate(READ)
    context.close()
    return {**found, "weight": float(sum(sent)), "files": float(len(sent))}


def main(site: Path) -> int:
    """Measure every design's overview; 0 when all goals are met."""
    missed = 0
    chromium = "/usr/bin/chromium"
    with sync_playwright() as playwright, compressed(site.resolve()) as (address, sent):
        browser = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
        print(
            f"{'overview of':16}{'files':>7}{'kB':>8}{'paint ms':>10}{'largest ms':>12}{'shift':>8}"
        )
        for overview in sorted(site.glob("designs/*/index.html")):
            found = measured(browser, f"{address}/{overview.relative_to(site)}", sent)
            print(
                f"{overview.parent.name:16}{found['files']:7.0f}{found['weight'] / KILOBYTE:8.1f}"
                f"{found['paint']:10.0f}{found['largest']:12.0f}{found['shift']:8.3f}"
            )
            missed += sum(round(found[name], 2) > goal for name, goal in GOALS.items())
        browser.close()
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main(Path(sys.argv[1] if len(sys.argv) > 1 else "site")))
