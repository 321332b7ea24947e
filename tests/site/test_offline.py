"""The lists of what a reader's device keeps."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from plansgen.site.offline import Revision, write_offline_lists

FILES = {
    "index.html": "<h1>Saltmarsh</h1>",
    "404.html": "<h1>No such page</h1>",
    "sw.js": "",
    "assets/plansgen.css": "p {}",
    "assets/plansgen.css.map": "{}",
    "assets/javascripts/lunr/min/lunr.da.min.js": "danish",
    "search/search_index.json": "{}",
    "search/search_index.js": "pgSearchIndex({});",
    "figures/bend.svg": "<svg/>",
    "designs/dunlin/index.html": "<h1>Dunlin</h1>",
    "designs/dunlin/figures/card.svg": "<svg/>",
    "designs/dunlin/figures/plan.svg": "<svg>å</svg>",
    "designs/dunlin/patterns/a4.pdf": "%PDF",
    "designs/knot/index.html": "<h1>Knot</h1>",
}
DESIGNS = (
    Revision("dunlin", "Dunlin", "B", "2026-05-30"),
    Revision("knot", "Knot", "A", "2026-04-01"),
)


def make_site(folder: Path) -> Path:
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    write_offline_lists(folder, DESIGNS)
    return folder


def read(site: Path, name: str) -> dict[str, object]:
    found: dict[str, object] = json.loads((site / name).read_text("utf-8"))
    return found


def urls(site: Path, name: str) -> list[str]:
    files = read(site, name)["files"]
    assert isinstance(files, list)
    return [file["url"] for file in files]


def test_a_design_is_kept_with_all_its_files_and_what_its_pages_ask_for(tmp_path: Path) -> None:
    site = make_site(tmp_path)
    assert urls(site, "designs/dunlin/offline.json") == [
        "assets/plansgen.css",
        "designs/dunlin/figures/card.svg",
        "designs/dunlin/figures/plan.svg",
        "designs/dunlin/index.html",
        "designs/dunlin/patterns/a4.pdf",
    ]
    head = read(site, "designs/dunlin/offline.json")
    assert (head["name"], head["revision"], head["date"]) == ("Dunlin", "B", "2026-05-30")


def test_the_library_is_kept_with_its_search_and_its_cards(tmp_path: Path) -> None:
    assert urls(make_site(tmp_path), "offline.json") == [
        "assets/plansgen.css",
        "designs/dunlin/figures/card.svg",
        "figures/bend.svg",
        "index.html",
        "search/search_index.json",
    ]


def test_sizes_and_sums_are_those_of_the_files(tmp_path: Path) -> None:
    site = make_site(tmp_path)
    whole = read(site, "designs/dunlin/offline.json")
    files = whole["files"]
    assert isinstance(files, list)
    for file in files:
        data = (site / file["url"]).read_bytes()
        assert file["bytes"] == len(data)
        assert file["sha256"] == hashlib.sha256(data).hexdigest()
    assert whole["bytes"] == sum(file["bytes"] for file in files)


def test_the_stamp_follows_the_files_of_this_design_only(tmp_path: Path) -> None:
    site = make_site(tmp_path)
    lists = ("offline.json", "designs/dunlin/offline.json", "designs/knot/offline.json")
    before = {name: read(site, name)["stamp"] for name in lists}
    write_offline_lists(site, DESIGNS)
    assert {name: read(site, name)["stamp"] for name in lists} == before
    (site / "designs/dunlin/index.html").write_text("<h1>Dunlin, mended</h1>")
    write_offline_lists(site, DESIGNS)
    changed = [name for name in lists if read(site, name)["stamp"] != before[name]]
    assert changed == ["designs/dunlin/offline.json"]
