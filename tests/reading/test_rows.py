"""Rows: lines that touch are kept apart by leaving out the piece that spans them."""

from __future__ import annotations

from shapely.geometry import box

from bigsign.reading.glyphs import Part
from bigsign.reading.rows import SPANNING, rows_of


def _stem(name: str, x: float, top: float, foot: float) -> Part:
    return Part(name, box(x, top, x + 20, foot), (x, top, x + 20, foot))


def test_a_piece_that_spans_two_lines_goes_to_the_upper_one_with_a_doubt() -> None:
    upper = [_stem(f"u{n}", 40 * n, 0, 100) for n in range(5) if n != 2]
    lower = [_stem(f"l{n}", 40 * n, 130, 230) for n in range(5) if n != 2]
    rows, loose = rows_of([*upper, *lower, _stem("both", 80, 0, 230)])
    assert loose == []
    assert [sorted(part.piece for part in row.parts) for row in rows] == [
        ["both", "u0", "u1", "u3", "u4"], ["l0", "l1", "l3", "l4"],
    ]  # fmt: skip
    assert [row.doubt for row in rows] == [SPANNING, ""]


def test_a_tall_capital_in_one_line_stays_in_it() -> None:
    parts = [*(_stem(f"s{n}", 40 * n, 40, 100) for n in range(1, 7)), _stem("cap", 0, 0, 100)]
    rows, _ = rows_of(parts)
    assert [len(row.parts) for row in rows] == [7]
    assert rows[0].doubt == ""
