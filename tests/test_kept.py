"""The numbers of the kit are those kept in tests/kept, but for what a commit changed on purpose and wrote anew."""

import pytest

from tests import kept

SAY = "run `python -m tests.kept compare`; if the change is meant, `python -m tests.kept write` and say which and why"
# Calls are closed formulas. A repair goes through solvers that stop at a tolerance, which another processor may reach
# with another last digit.
REL = {"calls": 1e-12, "replays": 1e-6}


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))


@pytest.mark.parametrize("table", REL)
def test_numbers_are_as_kept(table):
    assert not kept.moved(table, kept.TABLES[table](), REL[table]), SAY


def test_a_moved_number_is_seen():
    now = dict(kept.kept("calls"))
    first = next(key for key, row in now.items() if row)
    now[first] = [now[first][0] * (1 + 1e-11), *now[first][1:]]
    assert list(kept.moved("calls", now)) == [first]
