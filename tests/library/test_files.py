"""Files named by a design: nothing outside its folder, nothing that is not what it says."""

from __future__ import annotations

import io
import os
import time
import zlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from plansgen.library.files import list_folder, read_picture, safe_child


def picture(form: str, size: tuple[int, int] = (40, 30)) -> bytes:
    """A picture with enough detail that cutting it loses something."""
    image = Image.effect_noise(size, 60).convert("RGB")
    stream = io.BytesIO()
    image.save(stream, form)
    return stream.getvalue()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A design folder with a secret beside it."""
    (tmp_path / "secret.txt").write_text("secret")
    (tmp_path / "secret.png").write_bytes(picture("PNG"))
    design = tmp_path / "dunlin"
    (design / "photos").mkdir(parents=True)
    (design / "photos" / "spar.png").write_bytes(picture("PNG"))
    (design / "photos" / "rib (2).jpg").write_bytes(picture("JPEG"))
    (design / "photos" / "tail.webp").write_bytes(picture("WEBP"))
    (design / "photos" / "Flügel.png").write_bytes(picture("PNG"))
    (design / "section.txt").write_text("0 0\n")
    return design


@pytest.mark.parametrize(
    "name",
    ["photos/spar.png", "photos/rib (2).jpg", "photos/tail.webp", "photos/Flügel.png"],
)
def test_ordinary_pictures(folder: Path, name: str) -> None:
    path = safe_child(folder, name, kinds={"picture"})
    assert path == folder / name
    data, width, height = read_picture(path)
    assert (data, width, height) == (path.read_bytes(), 40, 30)


def test_ordinary_text(folder: Path) -> None:
    assert safe_child(folder, "section.txt", kinds={"text"}) == folder / "section.txt"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("", "the file name is empty"),
        ("photos\\spar.png", "is a Windows path; write forward slashes"),
        ("C:/photos/spar.png", "Windows path with a drive"),
        ("c:spar.png", "Windows path with a drive"),
        ("/etc/passwd", "must be relative"),
        ("~/spar.png", "must be relative"),
        ("../secret.png", 'must not hold ".."'),
        ("photos/../../secret.png", 'must not hold ".."'),
        ("./photos/spar.png", 'must not hold "."'),
        ("photos//spar.png", "empty part"),
        ("photos/spar.png/", "empty part"),
        ("https://elsewhere.example/x.png", "holds"),
        ("photos/spar.png\x00.txt", 'holds "\\x00"'),
        ("photos/sp\nar.png", "holds"),
        ("photos/\u202egnp.png", 'holds "\\u202e"'),
        ("photos/%2e%2e.png", 'holds "%"'),
        ("photos/a?.png", 'holds "?"'),
        ("photos/Flu\u0308gel.png", "holds"),
        (".git/config.txt", "begins and ends"),
        ("-rf.png", "begins and ends"),
        ("photos/ spar.png", "begins and ends"),
        ("photos /spar.png", "begins and ends"),
        ("photos/spar.png.", "begins and ends"),
        ("con.png", "Windows keeps the name con"),
        ("photos/COM1.png", "Windows keeps the name COM1"),
        ("nul .tar.png", "Windows keeps the name nul"),
        ("aux/spar.png", "Windows keeps the name aux"),
        ("x" * 97 + ".png", "at most 100 characters a name"),
        ("a/" * 130 + "a.png", "at most 250 characters"),
        ("drawing.svg", "SVG pictures are not taken; save it as PNG"),
        ("photos/spar.gif", "must end in one of .jpeg, .jpg, .png, .webp"),
        ("section.txt", "must end in one of"),
        ("photos", "must end in one of"),
        ("photos/spra.png", 'there is no file "photos/spra.png"; did you mean "photos/spar.png"?'),
        ("photos/SPAR.png", "there is no file"),
        ("fotos/spar.png", 'did you mean "photos"?'),
        ("section.txt/spar.png", "there is no file"),
    ],
)
def test_nasty_names(folder: Path, name: str, words: str) -> None:
    with pytest.raises(ValueError, match=r"\S") as caught:
        safe_child(folder, name, kinds={"picture"})
    assert words in str(caught.value)
    assert str(caught.value).isprintable()


@given(name=st.text(max_size=40))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_name_is_refused_or_inside(folder: Path, name: str) -> None:
    refused = False
    path = folder
    try:
        path = safe_child(folder, name, kinds={"picture", "text"})
    except ValueError:
        refused = True
    assert refused or path.resolve().is_relative_to(folder.resolve())


def refusal(folder: Path, name: str, kind: str = "picture") -> str:
    with pytest.raises(ValueError, match=r"\S") as caught:
        safe_child(folder, name, kinds={kind})  # type: ignore[arg-type]
    return str(caught.value)


def test_links_may_not_lead_out(folder: Path) -> None:
    (folder / "out.png").symlink_to("../secret.png")
    (folder / "up").symlink_to("..")
    (folder / "ring.png").symlink_to("ring.png")
    (folder / "nowhere.png").symlink_to("gone.png")
    (folder / "inside.png").symlink_to("photos/spar.png")
    for name in ("out.png", "up/secret.png", "ring.png", "nowhere.png"):
        assert "link" in refusal(folder, name)
    assert safe_child(folder, "inside.png", kinds={"picture"}) == folder / "inside.png"


def test_what_is_no_ordinary_file(folder: Path) -> None:
    (folder / "folder.png").mkdir()
    assert "is a folder" in refusal(folder, "folder.png")
    if hasattr(os, "mkfifo"):
        os.mkfifo(folder / "pipe.png")
        assert "not an ordinary file" in refusal(folder, "pipe.png")


def test_sizes(folder: Path) -> None:
    for name, kind, words in (
        ("big.png", "picture", "too large: 200 MiB; at most 8 MiB"),
        ("big.txt", "text", "too large: 200 MiB; at most 1 MiB"),
    ):
        with (folder / name).open("wb") as stream:
            stream.truncate(200 * 2**20)
        begun = time.process_time()
        assert words in refusal(folder, name, kind)
        assert time.process_time() - begun < 1.0
    (folder / "none.png").touch()
    assert "is empty" in refusal(folder, "none.png")


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.png", picture("JPEG"), "holds a JPEG picture"),
        ("a.jpg", picture("WEBP"), "holds a WEBP picture"),
        ("a.webp", picture("PNG"), "holds a PNG picture"),
        ("a.png", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "holds no PNG"),
        ("a.png", b"<script>alert(1)</script>", "holds no PNG"),
        ("a.jpg", b"\xff\xd8\xff", "damaged"),
        ("a.png", b"\x89PNG\r\n\x1a\n", "damaged"),
        ("a.webp", b"RIFF\x00\x00\x00\x00WEBP", "damaged"),
        ("a.png", picture("PNG")[:-20], "damaged or cut short"),
        ("a.jpg", picture("JPEG")[:-20], "damaged or cut short"),
        ("a.webp", picture("WEBP")[:-20], "damaged"),
        ("a.png", picture("PNG")[:200] + b"?" + picture("PNG")[201:], "damaged"),
    ],
)
def test_pictures_that_are_not(folder: Path, name: str, data: bytes, words: str) -> None:
    (folder / name).write_bytes(data)
    assert words in refusal(folder, name)


@pytest.mark.parametrize("size", [(6500, 6500), (40_000, 40_000)])
def test_pictures_with_too_many_pixels_are_not_decoded(folder: Path, size: tuple[int, int]) -> None:
    data = bytearray(picture("PNG"))
    # Width and height stand at byte 16 of every PNG (W3C PNG, section 11.2.1).
    data[16:24] = size[0].to_bytes(4, "big") + size[1].to_bytes(4, "big")
    data[29:33] = zlib.crc32(bytes(data[12:29])).to_bytes(4, "big")
    (folder / "huge.png").write_bytes(bytes(data))
    assert "pixels" in refusal(folder, "huge.png")


@pytest.mark.parametrize("form", ["PNG", "JPEG", "WEBP"])
def test_every_cut_is_noticed(folder: Path, form: str) -> None:
    data = picture(form)
    name = f"cut.{form.lower()}"
    for end in range(0, len(data) - 2, max(1, len(data) // 25)):
        (folder / name).write_bytes(data[:end])
        assert refusal(folder, name)


def test_folder_is_listed_in_order_without_hidden_names(folder: Path) -> None:
    (folder / ".hidden").touch()
    assert list_folder(folder) == ("photos", "section.txt")
    assert list_folder(folder / "photos") == ("Flügel.png", "rib (2).jpg", "spar.png", "tail.webp")


def test_folder_with_a_link_out_or_clashing_names_is_refused(folder: Path) -> None:
    (folder / "out.txt").symlink_to("../secret.txt")
    (folder / "Section.txt").touch()
    if len(list(folder.iterdir())) < 4:
        pytest.skip("this file system does not tell a from A")
    with pytest.raises(ValueError, match="leads out of the folder") as caught:
        list_folder(folder)
    assert '"Section.txt" and "section.txt" differ in case only' in str(caught.value)


def test_links_within_the_design_are_listed(folder: Path) -> None:
    (folder / "photos" / "section.txt").symlink_to("../section.txt")
    with pytest.raises(ValueError, match="leads out"):
        list_folder(folder / "photos")
    assert "section.txt" in list_folder(folder / "photos", within=folder)


def test_no_folder(folder: Path) -> None:
    for name in ("steps", "section.txt"):
        with pytest.raises(ValueError, match="there is no folder"):
            list_folder(folder / name)
