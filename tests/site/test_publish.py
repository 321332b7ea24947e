"""Publishing survives being killed at any moment.

The kills are real: a second Python process takes SIGKILL from itself just before its n-th
change of the file system (Python's audit events, https://docs.python.org/3/library/audit_events.html),
for every n up to the end of the work.
"""

from __future__ import annotations

import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from plansgen.site import publish as module
from plansgen.site.publish import MARKER, PublishError, publish, recover, staging

REPOSITORY = Path(__file__).resolve().parents[2]

BUILD = """
    import os, signal, sys
    from pathlib import Path
    from plansgen.site import publish as module

    live, kill_at, two_steps = Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3] == "two steps"
    if two_steps:
        module._exchange = lambda one, other: False
    seen = 0

    def count(event, arguments):
        global seen
        changes = ("os.rename", "os.remove", "os.rmdir", "os.mkdir", "shutil.rmtree")
        if event in changes or (event == "open" and arguments[1] and set(arguments[1]) & set("wa")):
            if seen == kill_at:
                os.kill(os.getpid(), signal.SIGKILL)
            seen += 1

    sys.addaudithook(count)
    with module.staging(live) as new:
        (new / "designs").mkdir()
        for name in ("index.html", "designs/dunlin.html"):
            (new / name).write_text("new")
        module.publish(new, live)
"""


def site_text(folder: Path) -> set[str]:
    return {path.read_text("utf-8") for path in folder.rglob("*.html")}


def make_site(live: Path, text: str) -> None:
    with staging(live) as new:
        (new / "designs").mkdir()
        for name in ("index.html", "designs/dunlin.html"):
            (new / name).write_text(text, encoding="utf-8")
        publish(new, live)


def run(code: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code), *arguments],
        cwd=REPOSITORY,
        stdout=subprocess.PIPE,
        text=True,
    )


def test_first_and_second_site(tmp_path: Path) -> None:
    live = tmp_path / "site"
    make_site(live, "old")
    make_site(live, "new")
    assert site_text(live) == {"new"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_two_steps_do_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_exchange", lambda *_: False)
    test_first_and_second_site(tmp_path)


@pytest.mark.skipif(sys.platform not in ("linux", "darwin"), reason="no exchange of folders here")
def test_this_system_exchanges_in_one_step(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    for folder in (one, other):
        folder.mkdir()
        (folder / "name").write_text(folder.name)
    assert module._exchange(one, other)
    assert (one / "name").read_text() == "other"
    assert (other / "name").read_text() == "one"


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL")
@pytest.mark.parametrize("way", ["one step", "two steps"])
def test_killed_anywhere_leaves_a_whole_site(tmp_path: Path, way: str) -> None:
    outcomes: list[str] = []
    for kill_at in range(200):
        live = tmp_path / str(kill_at) / "site"
        make_site(live, "old")
        process = run(BUILD, str(live), str(kill_at), way)
        process.communicate(timeout=60)
        if way == "one step":  # readers never see less than a whole site
            assert site_text(live) in ({"old"}, {"new"})
            assert len(list(live.rglob("*.html"))) == 2
        recover(live)
        assert len(list(live.rglob("*.html"))) == 2
        (text,) = site_text(live)
        outcomes.append(text)
        assert [path.name for path in live.parent.iterdir()] == ["site"], kill_at
        make_site(live, "next")
        if process.returncode == 0:
            break
        assert process.returncode == -signal.SIGKILL
    else:
        pytest.fail("the work never came to its end")
    # The old site up to one moment, the new one from then on, and kills on both sides of it.
    assert outcomes == sorted(outcomes, reverse=True)
    assert outcomes.count("old") > 3
    assert outcomes.count("new") > 3


def test_second_build_is_told_and_a_killed_one_lets_go(tmp_path: Path) -> None:
    live = tmp_path / "site"
    hold = """
        import sys, time
        from pathlib import Path
        from plansgen.site.publish import staging
        with staging(Path(sys.argv[1])):
            print("ready", flush=True)
            time.sleep(600)
    """
    process = run(hold, str(live))
    try:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        with pytest.raises(PublishError, match="another build"), staging(live):
            pass
        with pytest.raises(PublishError, match="another build"):
            recover(live)
    finally:
        process.kill()
        process.communicate(timeout=60)
    make_site(live, "after")
    assert site_text(live) == {"after"}


def test_a_failed_build_leaves_the_old_site(tmp_path: Path) -> None:
    live = tmp_path / "site"
    make_site(live, "old")

    def fail() -> None:
        with staging(live) as new:
            (new / "half.html").write_text("half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    assert site_text(live) == {"old"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_an_error_of_the_build_is_not_called_ours(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError), staging(tmp_path / "site"):
        (tmp_path / "missing").read_text()


def test_what_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    live = tmp_path / "site"
    live.mkdir()
    (live / "thesis.txt").write_text("years of work")
    with pytest.raises(PublishError, match="left alone"), staging(live):
        pass
    other = tmp_path / "new"
    other.mkdir()
    with pytest.raises(PublishError, match="left alone"):
        publish(other, live)
    assert (live / "thesis.txt").read_text() == "years of work"


def test_a_stranger_in_the_staging_place_is_left_alone(tmp_path: Path) -> None:
    stranger = tmp_path / ".site-new"
    stranger.mkdir()
    (stranger / "notes.txt").write_text("mine")
    with pytest.raises(PublishError, match="left alone"), staging(tmp_path / "site"):
        pass
    assert (stranger / "notes.txt").read_text() == "mine"


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    live = tmp_path / "site"
    live.write_text("a file")
    with pytest.raises(PublishError, match="left alone"), staging(live):
        pass


def test_an_empty_folder_may_be_used(tmp_path: Path) -> None:
    live = tmp_path / "site"
    live.mkdir()
    make_site(live, "new")
    assert site_text(live) == {"new"}


def test_a_link_means_the_folder_it_points_to(tmp_path: Path) -> None:
    place = tmp_path / "elsewhere" / "www"
    make_site(place, "old")
    link = tmp_path / "site"
    link.symlink_to(place, target_is_directory=True)
    make_site(link, "new")
    assert link.is_symlink()
    assert site_text(place) == {"new"}


def test_a_refused_move_brings_the_old_site_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    live = tmp_path / "site"
    make_site(live, "old")
    rename = Path.rename

    def refuse_new(self: Path, target: Path) -> Path:
        if self.name == ".site-new":
            raise PermissionError("a file of it is open")
        return rename(self, target)

    monkeypatch.setattr(module, "_exchange", lambda *_: False)
    monkeypatch.setattr(Path, "rename", refuse_new)
    with pytest.raises(PublishError, match="is open"):
        make_site(live, "new")
    assert site_text(live) == {"old"}


@pytest.mark.skipif(sys.platform == "win32", reason="permissions of POSIX")
def test_others_may_read_the_site(tmp_path: Path) -> None:
    usual = tmp_path / "usual"
    usual.mkdir()
    make_site(tmp_path / "site", "new")
    assert (tmp_path / "site").stat().st_mode == usual.stat().st_mode


def test_the_same_site_has_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        make_site(tmp_path / name, "same")
        time.sleep(0.01)
    assert (tmp_path / "one" / MARKER).read_bytes() == (tmp_path / "two" / MARKER).read_bytes()
