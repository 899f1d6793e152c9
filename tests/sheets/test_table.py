"""Plain tables: how many rows have room is told before they are set, and what is taller than a page is broken."""

from __future__ import annotations

import random

from bigsign.sheets.table import cell_table, rows_that_fit, split_row

WORDS = ["left", "right", "top", "bottom", "corner", "of", "panel", "12", "1/4", "in", "from", "the"]


def test_as_many_rows_have_room_as_are_set() -> None:
    rng = random.Random(3)
    counts = set()
    for _ in range(60):
        rows = [[f"T{n}", " ".join(rng.choices(WORDS, k=rng.randint(1, 25)))] for n in range(rng.randint(1, 30))]
        widths, room = [15.0, rng.uniform(25.0, 80.0)], rng.uniform(8.0, 220.0)
        count = rows_that_fit(rows, widths, room, 1)
        assert cell_table(20.0, 30.0, widths, ["", ""], rows, 30.0 + room)[2] == count
        counts.add(count)
    assert {0, 1} < counts


def test_two_columns_hold_the_most_rows_of_which_neither_is_too_tall() -> None:
    rng = random.Random(4)
    for _ in range(30):
        rows = [[" ".join(rng.choices(WORDS, k=rng.randint(1, 12)))] for _ in range(rng.randint(1, 40))]
        room = rng.uniform(20.0, 120.0)

        def fits(count: int, rows: list[list[str]] = rows, room: float = room) -> bool:
            half = -(-count // 2)
            return all(
                cell_table(0.0, 0.0, [50.0], [""], part, room)[2] == len(part)
                for part in (rows[:half], rows[half:count])
            )

        assert rows_that_fit(rows, [50.0], room, 2) == max([n for n in range(1, len(rows) + 1) if fits(n)], default=0)


def test_a_row_taller_than_a_page_is_broken_and_loses_no_word() -> None:
    row = ["T1", "3 in", " ".join(f"{n} right;" for n in range(300))]
    rows = split_row(row)
    assert [cells[0] for cells in rows] == ["T1", ""]
    assert " ".join(str(cells[2]) for cells in rows) == row[2]
    assert split_row(["T1", "one"]) == [["T1", "one"]]
