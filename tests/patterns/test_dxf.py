"""Sheets as DXF, read back with a library that knows the format."""

from __future__ import annotations

import io

import ezdxf
import pytest
from ezdxf.document import Drawing
from ezdxf.lldxf.encoding import decode_dxf_unicode
from shapely import Polygon

from plansgen.patterns.dxf import sheet_dxf
from plansgen.patterns.looks import LOOKS
from plansgen.patterns.sheets import Sheet, sheet_of_part
from tests.patterns.sample_sheets import part, sheets, wing_skin

SHEET = sheets()[2]


def read(sheet: Sheet) -> Drawing:
    return ezdxf.read(io.StringIO(sheet_dxf(sheet).decode("ascii")))


def test_the_file_is_sound_and_in_millimetres() -> None:
    """DXF reference, header variables: $INSUNITS 4 is millimetres, $MEASUREMENT 1 is metric."""
    document = read(SHEET)
    assert document.dxfversion == "AC1009"
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    assert document.header["$EXTMAX"] == pytest.approx((762, 508, 0))
    assert not document.audit().errors


def test_outlines_are_true_to_size_and_place() -> None:
    cut = [
        Polygon([(v.dxf.location.x, v.dxf.location.y) for v in line.vertices])
        for line in read(SHEET).modelspace().query('POLYLINE[layer=="cut"]')
        if line.is_closed
    ]
    for piece in SHEET.pieces:
        outline = Polygon([(1000 * x, 1000 * y) for x, y in piece.part.outline])
        assert any(outline.hausdorff_distance(shape) < 1e-5 for shape in cut)
    assert len(cut) == sum(1 + len(piece.part.holes) for piece in SHEET.pieces)


def test_each_operation_has_its_layer_with_line_type_and_colour() -> None:
    document = read(sheet_of_part(wing_skin()))
    for look in LOOKS.values():
        layer = document.layers.get(look.layer)
        assert layer.dxf.color == look.index
        assert layer.dxf.linetype == (look.layer if look.dash else "CONTINUOUS")
        assert document.modelspace().query(f'*[layer=="{look.layer}"]')
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used == {"words", *(look.layer for look in LOOKS.values())}


def test_a_line_type_says_its_dashes() -> None:
    """Lengths of the pattern: dashes positive, gaps negative, after the DXF reference."""
    document = read(SHEET)
    for look in LOOKS.values():
        if look.dash:
            line_type = document.linetypes.get(look.layer)
            tags = [tag.value for tag in line_type.pattern_tags.tags if tag.code == 49]
            signed = [-v if k % 2 else v for k, v in enumerate(look.dash)]
            assert tags == pytest.approx(signed)


def test_names_of_all_kinds_come_back_and_start_no_codes() -> None:
    name = "Rippe Ω ü □ 100 %%c ^J \\P"
    sheet = sheet_of_part(part("plate", ((0, 0), (0.2, 0), (0.2, 0.1), (0, 0.1)), name=name))
    coded = [entity.dxf.text for entity in read(sheet).modelspace().query("TEXT")]
    texts = [decode_dxf_unicode(text) for text in coded]
    assert "1 Rippe Ω ü □ 100 % %c J /P" in [" ".join(text.split()) for text in texts]


def test_words_can_be_left_out() -> None:
    data = sheet_dxf(SHEET, words=False)
    document = ezdxf.read(io.StringIO(data.decode("ascii")))
    assert not document.modelspace().query("TEXT")
    assert not document.modelspace().query('*[layer=="words"]')


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert sheet_dxf(SHEET) == sheet_dxf(sheets()[2])
