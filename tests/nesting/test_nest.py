"""Nesting: the checker finds every wrong; known perfect layouts pass; what nest() yields always passes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import MultiPolygon, box

from bigsign.errors import InputError
from bigsign.nesting import MatLayout, Nesting, NestItem, check_nesting, mat_file, nest
from bigsign.project import Cutter

#: Burke N1: ten rectangles that fill 40 × 40 without waste (Burke, Kendall, Whitwell, Operations Research 52, 2004).
BURKE_N1 = [(7, 6), (7, 6), (40, 16), (5, 20), (24, 24), (7, 4), (4, 4), (7, 8), (4, 20), (5, 4)]
#: A perfect layout of them, worked out by hand: (x, y) of each.
BURKE_N1_AT = [(5, 16), (5, 22), (0, 0), (0, 16), (12, 16), (5, 28), (36, 36), (5, 32), (36, 16), (0, 36)]


def item(name: str, width: float, height: float, margin: float = 0.0, colour: str = "#000000") -> NestItem:
    film = MultiPolygon([box(0, 0, width, height)])
    return NestItem(name, colour, film, box(-margin, -margin, width + margin, height + margin))


def laid_out(sizes: list[tuple[int, int]], places: list[tuple[int, int]]) -> tuple[list[NestItem], Nesting]:
    items = [item(f"i{n}", *size) for n, size in enumerate(sizes)]
    to_mat = {f"i{n}": (1.0, 0.0, 0.0, 1.0, float(x), float(y)) for n, (x, y) in enumerate(places)}
    used = max(y + h for (_, y), (_, h) in zip(places, sizes, strict=True))
    mat = MatLayout("#000000", tuple(to_mat), float(used))
    return items, Nesting((mat,), to_mat, 1, True)


def faults(items: list[NestItem], nesting: Nesting, cutter: Cutter, spacing: float = 0.0) -> list[str]:
    return check_nesting(items, nesting, cutter, turning="none", spacing=spacing, trim_apart=0.0)


def test_the_checker_accepts_a_perfect_layout_of_burke_n1() -> None:
    items, nesting = laid_out(BURKE_N1, BURKE_N1_AT)
    assert faults(items, nesting, Cutter("t", "m", 40, 40, 0.0)) == []
    assert sum(w * h for w, h in BURKE_N1) == 1600


def test_the_checker_refuses_burke_n1_with_one_piece_moved() -> None:
    items, nesting = laid_out(BURKE_N1, [(6, 16), *BURKE_N1_AT[1:]])
    assert faults(items, nesting, Cutter("t", "m", 40, 40, 0.0))


def test_the_checker_accepts_the_best_of_ngcut1() -> None:
    """Beasley ngcut1 (Operations Research 33, 1985; OR-Library): on 10 × 10 the best value is 164."""
    values = {(3, 7): 35, (8, 2): 40, (5, 4): 23, (2, 9): 43}
    sizes = [(3, 7), (8, 2), (5, 4), (5, 4), (2, 9)]
    items, nesting = laid_out(sizes, [(0, 2), (0, 0), (3, 2), (3, 6), (8, 0)])
    assert faults(items, nesting, Cutter("t", "m", 10, 10, 0.0)) == []
    assert sum(values[size] for size in sizes) == 164


def test_two_alike_on_one_place_are_found() -> None:
    items, nesting = laid_out([(5, 5), (5, 5)], [(0, 0), (0, 0)])
    assert faults(items, nesting, Cutter("t", "m", 40, 40, 0.0))


def test_films_nearer_than_the_spacing_are_found() -> None:
    items, nesting = laid_out([(5, 5), (5, 5)], [(0, 0), (7, 0)])
    cutter = Cutter("t", "m", 40, 40, 0.0)
    assert faults(items, nesting, cutter, spacing=2.0) == []
    assert faults(items, nesting, cutter, spacing=3.0)


def test_film_off_the_usable_area_and_trims_off_the_sheet_are_found() -> None:
    items = [item("a", 10, 10, margin=4)]
    cutter = Cutter("t", "m", 10, 10, 3.0)
    nesting = Nesting((MatLayout("#000000", ("a",), 10.0),), {"a": (1, 0, 0, 1, 0, 0)}, 1, True)
    assert any("sheet" in fault for fault in faults(items, nesting, cutter))
    nesting = replace(nesting, to_mat={"a": (1, 0, 0, 1, 1, 0)})
    assert any("usable" in fault for fault in faults(items, nesting, replace(cutter, border=9.0)))


def test_a_panel_left_out_is_found() -> None:
    items, nesting = laid_out([(5, 5), (5, 5)], [(0, 0), (9, 0)])
    short = replace(nesting, mats=(replace(nesting.mats[0], panels=("i0",)),))
    assert any("i1" in fault for fault in faults(items, short, Cutter("t", "m", 40, 40, 0.0)))


@given(
    st.lists(st.tuples(st.floats(5, 90), st.floats(5, 150)), min_size=1, max_size=14),
    st.sampled_from(["quarter", "none"]),
)
@settings(max_examples=40, deadline=None)
def test_what_nest_yields_always_holds(sizes: list[tuple[float, float]], turning: str) -> None:
    cutter = Cutter("t", "m", 100, 160, 6.35)
    items = [
        NestItem(f"i{n:02d}", ("#000000", "#ff0000")[n % 2], MultiPolygon([translate(box(0, 0, w, h), 7 * n, 3 * n)]),
                 translate(box(-4, -4, w + 4, h + 4), 7 * n, 3 * n))
        for n, (w, h) in enumerate(sizes)
    ]  # fmt: skip
    nesting = nest(items, cutter, turning=turning)
    assert check_nesting(items, nesting, cutter, turning=turning) == []
    assert len(nesting.mats) >= nesting.bound


def test_few_mats_where_few_are_possible() -> None:
    items = [item(f"i{n}", 45, 70) for n in range(4)]
    assert len(nest(items, Cutter("t", "m", 100, 160)).mats) == 1


def test_turning_is_used_where_it_saves_a_mat() -> None:
    items = [item("a", 90, 40), item("b", 90, 40), item("c", 40, 90)]
    cutter = Cutter("t", "m", 95, 135, 6.35)
    assert len(nest(items, cutter, turning="quarter").mats) == 1
    assert len(nest(items, cutter, turning="none").mats) == 2


def test_trims_lie_where_the_knife_can_cut_them_if_that_costs_no_mat() -> None:
    nesting = nest([item("a", 50, 50, margin=6)], Cutter("t", "m", 100, 160, 6.35))
    assert nesting.to_mat["a"][4:] == (6.0, 6.0)


def test_what_fits_no_mat_is_an_error() -> None:
    with pytest.raises(InputError, match="a"):
        nest([item("a", 200, 200)], Cutter("t", "m", 100, 160))


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("black", "mats/mat-01-black.svg"),
        ("#ff0000", "mats/mat-01-ff0000.svg"),
        ("Dark Green", "mats/mat-01-dark-green.svg"),
    ],
)
def test_names_of_cut_files(colour: str, name: str) -> None:
    assert mat_file(1, colour) == name
