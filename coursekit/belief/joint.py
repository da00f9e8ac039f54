"""The uncertain numbers of all trades as one sample of draws: tables → belief → the trades' bands.

A row is one garage: its gun, paint, hand and panel. A number that nothing ties to others keeps exactly the margin of
its table, in a fixed random order. What is in print (tables/facts/) ties the numbers of the gun to each other, and
those of sanding, drying, hiding and mixing in parts of their own, each in an order that is its own. All of them stand
in the shipped sample (tables/belief.npy, made by `python -m coursekit.belief.make`).
"""

from __future__ import annotations

import functools
import hashlib
import zlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from importlib import resources
from statistics import NormalDist
from typing import Any

import numpy as np

from coursekit.belief.moves import Draws, LogLikelihood, left, safely, systematic, updated, weighed
from coursekit.belief.observation import Observation, Runs, read_directly, told
from coursekit.belief.parts import MOVES, STAGE, Part, facts_of, log_likelihood, serpentine
from coursekit.belief.quick import Quick
from coursekit.sources import coefficients
from coursekit.special import normal_share
from coursekit.uncertain import Band, Coefficient

DRAWS = 4000
STEP = 2.0**-12  # of a deviate, in the shipped sample: the last digits of a machine's logarithm do not reach it
LEAST = 0.25  # share of the draws that must be left, or they are drawn again
# What was observed with another tip, cap or paint, and the numbers it says nothing of here.
Carried = tuple[tuple[Observation, ...], tuple[str, ...]]
PERCENTS = (0.05, 0.5, 0.95)


class Belief:
    """Draws of all uncertain numbers, weighted alike or not. It never changes: a measurement gives another one."""

    def __init__(
        self,
        tied: Mapping[str, np.ndarray],
        weights: np.ndarray,
        alone: Mapping[str, np.ndarray],
        measured: tuple[Observation, ...],
        rows: np.ndarray | None = None,
        carried: Carried = ((), ()),
        parts: Collection[Part] = (),
    ):
        self.tied = dict(tied)  # coefficient → (draws,) deviates from its margin
        self.weights = weights
        self.alone = dict(alone)  # coefficient measured by itself → its sorted values
        self.measured = measured
        self.carried = carried
        self.parts = tuple(parts)
        self.rows = np.arange(len(weights)) if rows is None else rows  # of the order of what is not tied
        self._columns: dict[str, np.ndarray] = {}
        self._bands: dict[str, Band] = {}

    @functools.cached_property
    def token(self) -> str:
        """Equal for beliefs of the same measurements."""
        return hashlib.sha256(repr((self.measured, self.carried, self.draws)).encode()).hexdigest()[:16]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Belief) and self.token == other.token

    def __hash__(self) -> int:
        return hash(self.token)

    def __repr__(self) -> str:
        return f"<belief of {self.draws} draws, {len(self.measured)} measured, worth {left(self.weights):.0f}>"

    @property
    def draws(self) -> int:
        return len(self.weights)

    @property
    def ties(self) -> Collection[str]:
        """The numbers that stand in its draws, or in those of a part."""
        return {*self.tied, *(key for part in self.parts for key in part.deviates)}

    def is_alone(self, key: str) -> bool:
        """Whether it was measured by itself, and nothing ties it to others."""
        return key in self.alone

    def bearing(self, keys: Iterable[str]) -> Belief:
        """What it says of these numbers, as one to draw from."""
        return self

    # --- what it says ---------------------------------------------------------------------------------------

    def column(self, number: str | Coefficient) -> np.ndarray:
        """(draws,) values of a coefficient. One that is not the course's own strays alone, in its key's order."""
        key = number if isinstance(number, str) else number.key
        table = coefficients().get(key)
        mine = isinstance(number, str) or number.belief is not None or number == table
        if table is None or not mine:
            assert isinstance(number, Coefficient), f"no coefficient {key}"
            return np.asarray(number.at(self._deviates(key)))
        if key not in self._columns:
            self._columns[key] = self._column(table)
            self._columns[key].setflags(write=False)
        return self._columns[key]

    def _column(self, table: Coefficient) -> np.ndarray:
        if table.key in self.tied:
            return np.asarray(table.at(self.tied[table.key]))
        if table.key in self.alone:
            places = normal_share(self._deviates(table.key))
            found: np.ndarray = np.interp(places, _even_places(DRAWS), self.alone[table.key])
            return found
        if (part := self.part_of(table.key)) is not None:
            return part.column(table.key, normal_share(self._deviates(part.name)))
        if table.key in told():
            one = told()[table.key]
            return np.array(one.answer({key: self.column(key) for key in one.keys}, self.draws))
        return np.asarray(table.at(self._deviates(table.key)))

    def part_of(self, key: str) -> Part | None:
        """The part in which a number stands that is not tied to the gun's."""
        return next((part for part in self.parts if key in part.deviates), None)

    def _band(self, key: str) -> Band:
        if key not in self._bands:
            self._bands[key] = quantiles(self.column(key), self.weights)
        return self._bands[key]

    def _deviates(self, key: str) -> np.ndarray:
        """(draws,) of a number that is not tied, weighted so that its margin is exact."""
        order = np.argsort(_ranks(key, self.rows))
        if np.ptp(self.weights) == 0:
            result: np.ndarray = even_deviates(self.draws)[_ranks(key, self.rows)]
            return result
        found = np.empty(self.draws)
        weights = self.weights[order]
        places = np.cumsum(weights) - weights / 2
        found[order] = np.interp(places, _even_places(DRAWS), even_deviates(DRAWS))
        return found

    def moved(self, key: str) -> bool:
        """Whether something measured bears on it."""
        bearing = (*self.measured, *(() if key in self.carried[1] else self.carried[0]))
        if key in told() and not self.is_alone(key):
            return any(self.moved(other) for other in told()[key].keys)
        if (part := shipped().part_of(key)) is not None:
            return any(set(one.keys) & set(part.deviates) for one in bearing)
        apart = {other for part in shipped().parts for other in part.deviates}
        joint = any(one.call or one.part in self.ties for one in bearing if not set(one.keys) <= apart)
        return self.is_alone(key) or (joint and key in self.ties)

    def coefficient(self, key: str) -> Coefficient:
        """The number as it is believed now: 5 %, 50 % and 95 % of its column. It carries the belief along."""
        table, here = coefficients()[key], self.bearing([key])
        if not (key in here.ties or key in here.alone or key in told()):
            return Coefficient(
                table,
                table.low,
                table.high,
                key=key,
                kind=table.kind,
                source=table.source,
                spread=table.spread,
                name=table.name,
                note=table.note,
                belief=self,
            )
        low, middle, high = here._band(key)
        mine = any(key in one.keys for one in here.measured)
        return Coefficient(
            middle,
            low,
            high,
            key=key,
            kind="measured by you" if mine else table.kind,
            source="measured-by-you" if mine else table.source,
            spread=table.spread,
            name=table.name,
            note="" if mine else table.note,
            belief=self,
        )

    def thinned(self, draws: int) -> Belief:
        """So many draws of equal weight that stand evenly for all; no more than there are."""
        if draws >= self.draws and np.ptp(self.weights) == 0:
            return self
        return _thinned(self, min(draws, self.draws))

    @functools.cached_property
    def in_print(self) -> np.ndarray:
        """(draws,) how well each agrees with the facts in print that tie the gun's numbers."""
        keys = sorted(self.tied)
        deviates = np.stack([self.tied[key] for key in keys], axis=1)
        return safely(log_likelihood(keys, facts_of(shipped().tied)), deviates)

    # --- what is learnt -------------------------------------------------------------------------------------

    def learn(self, *observed: Observation) -> Belief:
        """The belief after measurements, taken in together."""
        belief, joint = self, []
        for one in observed:
            part = belief.part_of(one.keys[0])
            if part is not None and set(one.keys) <= set(part.deviates):
                belief = belief._learn_in_part(part, one)
            elif not one.call and one.part not in belief.tied:
                belief = belief._learn_alone(one)
            else:
                joint.append(one)
        if joint:
            belief = belief._learn_joint(joint)
        return belief._with(measured=(*self.measured, *observed))

    def _with(self, **changed: Any) -> Belief:
        """This belief with something else in it."""
        fields = ("tied", "weights", "alone", "measured", "rows", "carried", "parts")
        return Belief(**{**{field: getattr(self, field) for field in fields}, **changed})

    def _learn_in_part(self, part: Part, one: Observation) -> Belief:
        """Numbers that the facts tie to each other, and not to those of the gun."""
        before = [old for old in (*self.carried[0], *self.measured) if set(old.keys) <= set(part.deviates)]
        parts = (part.learn([one], before) if other is part else other for other in self.parts)
        return self._with(parts=tuple(parts), measured=(*self.measured, one))

    def _learn_alone(self, one: Observation) -> Belief:
        """A number that nothing ties to others: its own margin times what was read, and no draw is lost."""
        key, table = one.part, coefficients()[one.part]
        before = [old for old in self.measured if not old.call and old.part == key]
        middles = [float(table.deviate(printed.value)) for read in (*before, one) for printed in read.prints]
        grid = np.linspace(min(-8.0, *middles) - 1, max(8.0, *middles) + 1, 40_001)
        values = np.asarray(table.at(grid))
        log = -0.5 * grid**2 + sum(read.log_likelihood(values) for read in (*before, one))
        share = np.cumsum(np.exp(log - log.max()))
        even = np.interp(_even_places(DRAWS), (share - 0.5 * np.diff(share, prepend=0)) / share[-1], grid)
        return self._with(alone={**self.alone, key: np.asarray(table.at(even))}, measured=(*self.measured, one))

    def _learn_joint(self, observed: list[Observation]) -> Belief:
        touched = {key for one in observed for key in one.keys}
        joined = [part for part in self.parts if touched & set(part.deviates)]
        # What was measured alone or in a part, and now moves a joint answer, is tied from here on; its reading stays.
        keys = sorted({*self.tied, *touched, *(key for part in joined for key in part.deviates)})
        deviates = np.stack(
            [self.tied[key] if key in self.tied else coefficients()[key].deviate(self.column(key)) for key in keys],
            axis=1,
        )
        new, in_print = log_likelihood(keys, observed), None
        found = Draws(deviates, updated(self.weights, safely(new, deviates)))
        if left(found.weights) < LEAST * self.draws:  # too few: they are drawn again and moved
            of_parts = facts_of(key for key in keys if key not in shipped().tied)
            earlier = [one for one in self.measured if set(one.keys) & set(keys)]
            exact = log_likelihood(keys, earlier)  # beside the facts
            forms = Quick(
                dict(zip(keys, deviates.T, strict=True)), [one for one in (*earlier, *observed) if one.call]
            )
            near = together([quick().log_likelihood(keys), near_to(keys, forms, earlier)])
            near_new, also = near_to(keys, forms, observed), log_likelihood(keys, of_parts)
            random = np.random.default_rng(zlib.crc32("|".join(one.key for one in observed).encode()))
            off = safely(near, deviates) - safely(exact, deviates) - self.in_print
            start = Draws(deviates, updated(self.weights, off))
            moved = weighed(start, together([near, also]), near_new, random, STAGE, MOVES)
            at = moved.deviates
            in_print = safely(log_likelihood(keys, facts_of(shipped().tied)), at)
            off = in_print + safely(together([exact, new]), at) - safely(together([near, near_new]), at)
            found = Draws(at, updated(moved.weights, off))
        elif "in_print" in self.__dict__:
            in_print = self.in_print
        alone = {key: values for key, values in self.alone.items() if key not in keys}
        parts = [part for part in self.parts if part not in joined]
        return of_draws(keys, found, alone, (*self.measured, *observed), self.carried, parts, in_print)

    def elsewhere(self, without: tuple[str, ...]) -> Belief:
        """The belief for another tip, cap or paint: some numbers as the course knows them, the rest as learnt.

        What is learnt later may widen the rest again, never narrow it without a reason.
        """
        tied = {key: values for key, values in self.tied.items() if key not in without}
        tied.update(_as_the_course_ties_them(tied, set(without) & set(self.tied)))
        alone = {key: values for key, values in self.alone.items() if key not in without}
        course = {part.name: part for part in shipped().parts}
        apart = [course[part.name] if set(part.deviates) & set(without) else part for part in self.parts]
        carried = ((*self.carried[0], *self.measured), tuple(sorted({*self.carried[1], *without})))
        return self._with(tied=tied, alone=alone, parts=apart, measured=(), carried=carried)


def _as_the_course_ties_them(held: Mapping[str, np.ndarray], wanted: set[str]) -> dict[str, np.ndarray]:
    """Deviates of some numbers anew: what the course's sample says of them, given the others as they are held.

    Its deviates are near a normal distribution, so a straight line through them and what strays about it will do.
    """
    course = shipped().tied
    given, asked = sorted(set(held) & set(course)), sorted(wanted & set(course))
    if not asked:
        return {}
    size = len(next(iter(held.values())))
    there, here = (
        np.stack([np.ones(n), *(values[key] for key in given)], axis=1)
        for values, n in ((course, shipped().draws), (held, size))
    )
    answers = np.stack([course[key] for key in asked], axis=1)
    line = np.linalg.lstsq(there, answers, rcond=None)[0]
    rows = np.random.default_rng(zlib.crc32("|".join(asked).encode())).permutation(len(answers))[:size]
    found = here @ line + (answers - there @ line)[rows]
    return {key: found[:, n] for n, key in enumerate(asked)}


def together(parts: Sequence[LogLikelihood]) -> LogLikelihood:
    """How well draws agree with all of it."""

    def total(deviates: np.ndarray) -> np.ndarray:
        return np.asarray(sum(part(deviates) for part in parts))

    return total


def near_to(keys: Sequence[str], forms: Quick, observed: Sequence[Observation]) -> LogLikelihood:
    """Measurements near enough for moves: what a call gives by its form, what was read directly as it is."""
    called, direct = ([one for one in observed if bool(one.call) is asks] for asks in (True, False))
    return together([forms.log_likelihood(keys, called), log_likelihood(keys, direct)])


def of_draws(
    keys: list[str],
    draws: Draws,
    alone: Mapping[str, np.ndarray],
    measured: tuple[Observation, ...],
    carried: Carried = ((), ()),
    parts: Collection[Part] = (),
    in_print: np.ndarray | None = None,
) -> Belief:
    """A belief of such draws, in an order in which neighbours give alike film and mist."""
    columns = {key: np.asarray(coefficients()[key].at(draws.deviates[:, n])) for n, key in enumerate(keys)}
    runs = Runs()
    first, second = (one.answer(columns, len(draws.weights), runs) for one in ordering())
    at = serpentine(first, second)
    tied = {key: draws.deviates[at, n] for n, key in enumerate(keys)}
    found = Belief(tied, draws.weights[at], alone, measured, carried=carried, parts=parts)
    if in_print is not None:
        found.in_print = in_print[at]
    return found


@functools.lru_cache(maxsize=1)
def ordering() -> tuple[Observation, Observation]:
    """The two results by which draws are put in order: those the lessons ask most."""
    row = told()["transfer_efficiency"]
    return tuple(Observation(part, part, row.call, row.at, part, ()) for part in ("wet_film", "mist_per_landed"))  # type: ignore[return-value]


@functools.lru_cache(maxsize=64)
def _thinned(belief: Belief, draws: int) -> Belief:
    at = systematic(belief.weights, draws)
    tied = {key: values[at] for key, values in belief.tied.items()}
    return belief._with(tied=tied, weights=np.full(draws, 1 / draws), rows=belief.rows[at])


@functools.lru_cache(maxsize=16)
def even_deviates(draws: int) -> np.ndarray:
    """(draws,) standard normal deviates at equal steps of probability, from low to high."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((n + 0.5) / draws) for n in range(draws)])


@functools.lru_cache(maxsize=16)
def _even_places(draws: int) -> np.ndarray:
    return (np.arange(draws) + 0.5) / draws


@functools.lru_cache(maxsize=512)
def order_of(key: str, draws: int = DRAWS) -> np.ndarray:
    """(draws,) a random order that belongs to the key: the same number strays alike in every call."""
    return np.random.default_rng(zlib.crc32(key.encode())).permutation(draws)


def _ranks(key: str, rows: np.ndarray) -> np.ndarray:
    """(n,) rank of each row in the key's order: even however few rows are left."""
    order = order_of(key, max(DRAWS, int(rows.max()) + 1))[rows]
    return np.argsort(np.argsort(order, kind="stable"), kind="stable")


def quantiles(values: np.ndarray, weights: np.ndarray | None = None) -> Band:
    """5 %, 50 % and 95 % along the first axis; each draw stands in the middle of its weight."""
    sure = bool(np.all(np.isfinite(values)))  # between two infinities lies no number
    if weights is None or np.ptp(weights) == 0:
        ordered = np.sort(values, axis=0)  # a quarter of the time that numpy's percentile takes to part them
        return Band(*(_at(ordered, len(ordered) * part - 0.5, sure) for part in PERCENTS))
    flat = np.reshape(values, (len(values), -1))
    order = np.argsort(flat, axis=0, kind="stable")
    heaped = np.cumsum(weights[order], axis=0) - weights[order] / 2
    sorted_values = np.take_along_axis(flat, order, axis=0)
    ends = np.empty((3, flat.shape[1]))
    for column in range(flat.shape[1]):
        at, there = heaped[:, column], sorted_values[:, column]
        if sure:
            ends[:, column] = np.interp(PERCENTS, at, there)
        else:
            ends[:, column] = there[np.minimum(np.searchsorted(at, PERCENTS), len(there) - 1)]
    return Band(*(end.reshape(np.shape(values)[1:])[()] for end in ends))


def _at(ordered: np.ndarray, place: float, between: bool) -> Any:
    """What stands at this place of the sorted values, between two of them or the nearer."""
    place = min(max(place, 0.0), len(ordered) - 1.0)
    lower = int(place)
    low, high, share = ordered[lower], ordered[min(lower + 1, len(ordered) - 1)], place - lower
    if not between:
        return low if share < 0.5 else high
    return low + (high - low) * share if share < 0.5 else high - (high - low) * (1 - share)


@functools.lru_cache(maxsize=1)
def shipped() -> Belief:
    """The course's own belief, before anything is measured."""
    with (resources.files("coursekit") / "tables" / "belief.npy").open("rb") as file:
        rows = np.load(file, allow_pickle=False)
    tied, *apart = ({key: rows[name][key] * STEP for key in rows[name].dtype.names} for name in rows.dtype.names)
    return Belief(tied, np.full(len(rows), 1 / len(rows)), {}, (), parts=[Part(deviates) for deviates in apart])


@functools.lru_cache(maxsize=1)
def quick() -> Quick:
    """The facts in print, near enough for moves."""
    tied = shipped().tied
    return Quick(tied, facts_of(tied))


__all__ = ["Belief", "quantiles", "read_directly", "shipped"]
