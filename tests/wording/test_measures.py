"""Numbers in words: what follows each other is said as a run."""

from bigsign.wording import panels_said, runs_said, speaking


def test_four_or_more_that_follow_each_other_are_a_run() -> None:
    assert runs_said([1, 2, 3, 5, 7, 8, 9, 10, 12]) == ["1", "2", "3", "5", "7 to 10", "12"]
    assert runs_said([]) == []


def test_panels_are_said_by_their_numbers() -> None:
    assert panels_said([3]) == "panel 3"
    assert panels_said([1, 2, 5]) == "panels 1, 2 and 5"
    assert panels_said([1, 2, 3, 4]) == "panels 1 to 4"
    assert panels_said([1, *range(4, 94)]) == "panels 1 and 4 to 93"
    with speaking("de"):
        assert panels_said([1, *range(4, 94)]) == "Teile 1 und 4 bis 93"
