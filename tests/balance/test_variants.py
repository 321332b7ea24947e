"""Other ways of loading a model: the same as writing the items into it, or leaving them out."""

from __future__ import annotations

from typing import Any

import pytest

from tests.designs import Raw, balance_of, dossier_of, item, trainer


def loaded(**variant: Any) -> Raw:
    return trainer() | {"variants": [{"name": "as loaded"} | variant]}


def test_what_is_put_in_counts_as_if_it_were_an_item() -> None:
    camera = item("camera", 40, x=120)
    (*_, last) = balance_of(loaded(add=[camera])).loadings
    whole = trainer()
    whole["items"].append(camera)
    first = balance_of(whole).loadings[0]
    assert last.state.mass == pytest.approx(first.state.mass, rel=1e-12)
    assert last.state.x == pytest.approx(first.state.x, rel=1e-12)
    assert last.state.iyy == pytest.approx(first.state.iyy, rel=1e-9)


def test_what_is_taken_out_counts_as_if_it_had_never_been_there() -> None:
    gone = trainer()["items"][0]
    (*_, last) = balance_of(loaded(without=[gone["name"]])).loadings
    less = trainer()
    less["items"] = [each for each in less["items"] if each["name"] != gone["name"]]
    first = balance_of(less).loadings[0]
    assert last.state.mass == pytest.approx(first.state.mass, rel=1e-12)
    assert last.state.x == pytest.approx(first.state.x, rel=1e-9)
    assert last.state.izz == pytest.approx(first.state.izz, rel=1e-9)


def test_the_usual_loading_stays_first_and_a_variant_says_what_it_is() -> None:
    usual = balance_of(trainer())
    varied = balance_of(loaded(add=[item("camera", 40, x=120)]))
    assert varied.ready == usual.ready
    assert varied.loadings[-1].aboard.endswith("as loaded")
    assert varied.loadings[-1].state.name.endswith("as loaded")
    assert len(varied.loadings) == len(usual.loadings) + 1


def test_each_variant_has_its_static_margin() -> None:
    dossier = dossier_of(loaded(add=[item("camera", 40, x=900)]))
    assert dossier.flight is not None
    assert dossier.flight.margins[-1].name.endswith("as loaded")
    assert dossier.flight.margins[-1].static_margin < dossier.flight.margins[0].static_margin


def test_a_variant_that_leaves_nothing_is_no_loading() -> None:
    raw = trainer()
    for owner in (*raw["surfaces"].values(), *raw.get("bodies", {}).values()):
        owner["parts"] = []
        owner.pop("measured", None)
    raw["parts"] = []
    raw.pop("batteries", None)
    raw.pop("bay", None)
    raw.pop("allowance")
    raw["items"] = [item("lump", 100, x=50)]
    raw["variants"] = [{"name": "bare", "without": ["lump"]}]
    assert [loading.variant for loading in balance_of(raw).loadings] == [None]
