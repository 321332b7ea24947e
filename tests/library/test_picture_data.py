"""What a camera writes into a picture stays with its owner; the picture itself stays as it was."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from plansgen.library.files import read_picture
from plansgen.library.picture_data import without_private_data

SECRET = b"SECRET"


def _exif(orientation: int) -> Image.Exif:
    """Position, description and orientation: tags 0x8825, 0x010E, 0x0112 of EXIF 2.32."""
    exif = Image.Exif()
    exif[0x010E] = "SECRET home"
    exif[0x0112] = orientation
    exif.get_ifd(0x8825)[2] = (54.0, 30.0, 15.0)
    return exif


def _picture(form: str, orientation: int = 1, mode: str = "RGB") -> bytes:
    out = io.BytesIO()
    image = Image.linear_gradient("L").resize((40, 30)).convert(mode)
    more: dict[str, object] = {"exif": _exif(orientation)}
    if form == "PNG":
        more["pnginfo"] = PngInfo()
        more["pnginfo"].add_text("Comment", "SECRET text")  # type: ignore[attr-defined]
        more["pnginfo"].add_itxt("XML:com.adobe.xmp", "SECRET xmp")  # type: ignore[attr-defined]
    elif form == "JPEG":
        more |= {"comment": b"SECRET comment", "xmp": b"SECRET xmp", "progressive": True}
    else:
        more["xmp"] = b"SECRET xmp"
    image.save(out, form, **more)
    return out.getvalue()


@pytest.mark.parametrize("form", ["PNG", "JPEG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_only_the_picture_is_kept(form: str, mode: str) -> None:
    data = _picture(form, mode=mode)
    assert SECRET in data
    bare = without_private_data(data, form)
    assert SECRET not in bare
    assert b"Exif" not in bare
    assert without_private_data(bare, form) == bare
    with Image.open(io.BytesIO(data)) as before, Image.open(io.BytesIO(bare)) as after:
        assert not after.getexif()
        assert (after.mode, after.size) == (before.mode, before.size)
        assert after.tobytes() == before.tobytes()


@pytest.mark.parametrize("form", ["PNG", "JPEG"])
def test_what_hangs_behind_the_picture_goes(form: str) -> None:
    bare = without_private_data(_picture(form) + b"SECRET second picture", form)
    assert SECRET not in bare


@pytest.mark.parametrize(("orientation", "size"), [(1, (40, 30)), (3, (40, 30)), (6, (30, 40))])
def test_a_photograph_still_stands_upright(
    tmp_path: Path, orientation: int, size: tuple[int, int]
) -> None:
    """Orientations 5 to 8 lie on their side (EXIF 2.32, tag 0x0112)."""
    path = tmp_path / "a.jpg"
    path.write_bytes(_picture("JPEG", orientation))
    data, width, height = read_picture(path)
    assert (width, height) == size
    assert SECRET not in data
    with Image.open(io.BytesIO(data)) as after:
        exif = after.getexif()
        assert exif.get(0x0112, 1) == orientation
        assert not exif.get_ifd(0x8825)


def test_colours_are_kept_without_their_profiles_name() -> None:
    out = io.BytesIO()
    Image.new("RGB", (4, 4)).save(out, "PNG", icc_profile=b"profile" * 40)
    data = without_private_data(out.getvalue(), "PNG")
    with Image.open(io.BytesIO(data)) as after:
        assert after.info["icc_profile"] == b"profile" * 40


@pytest.mark.parametrize(
    "data", [b"\xff\xd8\xff\xe1\xff\xff", b"\xff\xd8\xff\xda\x00\x02", b"\xff\xd8"]
)
def test_a_torn_picture_is_told(data: bytes) -> None:
    with pytest.raises(ValueError, match="cannot be followed"):
        without_private_data(data, "JPEG")
