"""Hands played in two processes: what is found is the same, and a process that cannot be had is done without."""

from concurrent.futures import Executor, Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool

import pytest

from coursekit.repair import sharing


def doubled(given, part):
    return given + 2 * part


class Broken(Executor):
    """Its process is gone by the time the work is asked for."""

    def submit(self, *_, **__):
        gone = Future()
        gone.set_exception(BrokenProcessPool())
        return gone


class Refused(Executor):
    """The machine gives no process."""

    def submit(self, *_, **__):
        raise OSError("no process")


@pytest.mark.parametrize("count", [0, 1, 2, 7])
@pytest.mark.parametrize("kind", [lambda: None, lambda: ThreadPoolExecutor(1), Broken, Refused])
def test_parts_come_in_their_order_whoever_does_them(kind, count):
    executor, parts = kind(), [5, 3, 8, 1, 9, 2, 4][:count]
    assert list(sharing.in_turn(executor, doubled, 100, parts)) == [100 + 2 * part for part in parts]
    if executor is not None:
        executor.shutdown()


def test_a_process_that_cannot_be_begun_is_done_without():
    assert sharing.begin(Refused(), list) is None and sharing.begin(None, list) is None
    with ThreadPoolExecutor(1) as executor:
        assert sharing.begin(executor, list) is executor


def test_an_error_of_the_other_process_is_raised_here():
    with ThreadPoolExecutor(1) as executor, pytest.raises(TypeError):
        list(sharing.in_turn(executor, doubled, None, [1, 2]))


def test_what_is_left_is_not_begun_after_a_stop():
    asked = []

    class Slow(Executor):
        def submit(self, *_, **__):
            asked.append(Future())
            return asked[-1]

    found = sharing.in_turn(Slow(), doubled, 100, [1, 2, 3, 4, 5, 6])
    assert next(found) == 102
    found.close()
    assert len(asked) == sharing.AHEAD and all(future.cancelled() for future in asked)


def test_one_core_alone_gets_no_other_process(monkeypatch):
    monkeypatch.setattr(sharing, "_cores", lambda: 1)
    with sharing.beside() as executor:
        assert executor is None
