"""The workers' shares of the test files: every file in exactly one, and all about as long."""

from __future__ import annotations

import pytest

from helpers.shares import TESTS, all_files, kept_seconds, shares


@pytest.mark.parametrize("workers", [1, 2, 3, 16])
def test_every_file_is_run_by_exactly_one_worker(workers: int) -> None:
    made = shares(all_files(), kept_seconds(), workers)
    assert len(made) == workers
    assert sorted(file for share in made for file in share) == sorted(
        path.relative_to(TESTS).as_posix() for path in TESTS.glob("**/test_*.py")
    )


def test_new_files_are_shared_out_too_and_all_end_together() -> None:
    seconds = {"long.py": 8.0, "half.py": 4.0, "other half.py": 4.5, "gone.py": 100.0}
    made = shares([*seconds.keys() - {"gone.py"}, "new.py"], seconds, 2)
    # 8.0 beside 4.5 + 4.0 and then the new one, taken for half a second, where less is to do.
    assert sorted(sorted(share) for share in made) == [["half.py", "other half.py"], ["long.py", "new.py"]]


def test_what_is_kept_of_the_files_lets_two_workers_end_together() -> None:
    seconds = kept_seconds()
    first, second = (sum(seconds[file] for file in share) for share in shares(seconds, seconds, 2))
    assert abs(first - second) < 0.02 * (first + second)
