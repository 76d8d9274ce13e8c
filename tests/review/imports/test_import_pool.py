"""Worker processes: order, faults, deaths, stopping."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from helpers.patience import wait_until
from review.import_pool_works import (
    die_on_three,
    double,
    fail_on_three,
    tell_how_it_runs,
    work_until_let_go,
    work_until_stopped,
)
from slopebeat.model.errors import Cancelled
from slopebeat.review.imports.pool import MOST_BYTES_AHEAD, WorkerDied, Workers


def nothing() -> None:
    """Nobody asks to stop."""


def test_outcomes_come_in_the_order_of_the_orders() -> None:
    with Workers(double) as pool:
        assert list(pool.run(range(20), nothing)) == [(n, 2 * n) for n in range(20)]


def test_orders_are_taken_only_as_far_ahead_as_there_is_room() -> None:
    taken: list[int] = []

    def orders() -> Iterator[int]:
        for n in range(50):
            taken.append(n)
            yield n

    with Workers(double, 1) as pool:
        next(pool.run(orders(), nothing))
        assert len(taken) <= 4


def test_no_further_order_is_read_while_large_ones_are_under_way() -> None:
    ahead, most_ahead = 0, 0

    def orders() -> Iterator[int]:
        nonlocal ahead, most_ahead
        for n in range(8):
            ahead += 1
            most_ahead = max(most_ahead, ahead)
            yield n

    with Workers(double, 2, lambda order: MOST_BYTES_AHEAD // 2 + 1) as pool:
        for _ in pool.run(orders(), nothing):
            ahead -= 1
    assert most_ahead <= 3, "two of them are more than may be under way; a third is what was just handed back"
    with Workers(double, 2, lambda order: 4 * MOST_BYTES_AHEAD) as pool:
        assert dict(pool.run(range(3), nothing)) == {0: 0, 1: 2, 2: 4}, "a single one is always taken"


def test_one_order_that_fails_is_one_exception() -> None:
    with Workers(fail_on_three) as pool:
        outcomes = dict(pool.run(range(6), nothing))
    assert isinstance(outcomes.pop(3), ZeroDivisionError)
    assert outcomes == {n: n for n in (0, 1, 2, 4, 5)}


def test_an_order_that_kills_its_worker_costs_only_itself() -> None:
    with Workers(die_on_three) as pool:
        outcomes = dict(pool.run(range(7), nothing))
    assert isinstance(outcomes.pop(3), WorkerDied)
    assert outcomes == {n: n for n in (0, 1, 2, 4, 5, 6)}


def test_stopping_reaches_work_under_way_and_no_process_stays(tmp_path: Path) -> None:
    def stop_once_both_work() -> None:
        if len(list(tmp_path.iterdir())) == 2:
            raise Cancelled

    with pytest.raises(Cancelled), Workers(work_until_stopped) as pool:
        list(pool.run([str(tmp_path)] * 5, stop_once_both_work))
    for name in os.listdir(tmp_path):
        wait_until(partial(_gone, int(name)))


def test_who_cancels_does_not_wait_for_the_file_a_worker_is_at(tmp_path: Path) -> None:
    def stop_once_it_works() -> None:
        if (tmp_path / "begun").exists():
            raise Cancelled

    with pytest.raises(Cancelled), Workers(work_until_let_go, 1) as pool:
        list(pool.run([str(tmp_path)], stop_once_it_works))
    assert not (tmp_path / "ended by itself").exists()
    (tmp_path / "let go").touch()


def _gone(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="threads are counted by the Linux way")
def test_workers_step_back_and_do_linear_algebra_in_one_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        monkeypatch.delenv(name, raising=False)
    here = os.nice(0)
    with Workers(tell_how_it_runs, 1) as pool:
        ((_, outcome),) = pool.run([0], nothing)
    assert outcome == (1, min(here + 5, 19))
    assert "OPENBLAS_NUM_THREADS" not in os.environ, "this process keeps its own"
