"""The question backwards: which setting of the gun reaches a film with the least paint lost?"""

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from coursekit.constants import ROOM_TEMPERATURE
from coursekit.quantities import InputError, Real, Scalar, Value, in_range, public, read, shown, shown_band
from coursekit.spraying.choose import Setting, gun_coefficients, known_fields, one_of_each, sampled
from coursekit.spraying.fluid import LEAST_TURNS
from coursekit.spraying.pattern import fan_depth
from coursekit.spraying.setting import SprayResult, spray_setting
from coursekit.spraying.stroke import coat_plan, least_lead
from coursekit.uncertain import Band, Coefficient

_DRAWS = 500


class Option(NamedTuple):
    """One setting that reaches the film; `beaten` is the share of the samples in which the answer loses less."""

    setting: Setting
    coats: Value
    lost: Value
    sprayed: Value
    time: Value
    texture: Value
    evenness: Value
    wet_film: Value
    beaten: Value | None = None


class Found(NamedTuple):
    """The answer, or none and what stands in its way; the trade-off; how sure it is; and what it assumes.

    Over the samples: `film` is the dry film that the answer lays, `on_film` and `fine_enough` the shares of them in
    which it is within the tolerance and its texture no coarser than asked.
    """

    answer: Option | None
    stopped_by: tuple[str, ...]
    words: str
    trade_off: tuple[Option, ...]
    assumed: tuple[str, ...]
    film: Band | None = None
    on_film: Value | None = None
    fine_enough: Value | None = None


_OPTION_GIVES: dict[str, Any] = {
    "setting": {field: field for field in Setting._fields},
    "coats": "coats",
    "lost": "paint_volume",
    "sprayed": "paint_volume",
    "time": "coat_time",
    "texture": "texture",
    "evenness": "evenness",
    "wet_film": "wet_film",
    "beaten": "sample_share",
}

# What a small gravity gun and a hand can do; a data sheet's or a gun label's limits go in their place.
USUAL_LIMITS: dict[str, tuple[Any, Any]] = {
    "turns": (1, 3),
    "gun_inlet_pressure": ("12 psi", "29 psi"),
    "fan_opening": ("50 %", "100 %"),
    "gun_distance": ("150 mm", "200 mm"),
    "gun_speed": ("0.3 m/s", "0.6 m/s"),
    "overlap": ("50 %", "67 %"),
    "trigger": ("75 %", "100 %"),
}
_GRID = {"turns": 9, "gun_inlet_pressure": 9, "fan_opening": 3, "gun_distance": 3, "overlap": 4, "trigger": 2}
_FOLLOW = ("pitch", "fluid_delivery")  # from the fields of a setting


def read_limits(limits: object) -> dict[str, tuple[float, float]]:
    """Lowest and highest of each field in SI, from a mapping of pairs; what is left out keeps its usual pair."""
    if limits is not None and not isinstance(limits, Mapping):
        raise InputError("limits", "is not a table of limits.", 'Give {"turns": (1, 3)}.', kind="other type")
    known_fields(limits or {}, "limits")
    found = {}
    for field, pair in (USUAL_LIMITS | dict(limits or {})).items():
        if not isinstance(pair, (tuple, list)) or len(pair) != 2:
            raise InputError(
                "limits",
                f"{field} needs a lowest and a highest value.",
                'Write ("12 psi", "29 psi").',
                kind="missing",
            )
        low, high = (read(end, field) for end in pair)
        if np.ndim(low) or np.ndim(high) or low > high:
            raise InputError(
                "limits", f"{field} must rise from its lowest to its highest value.", "Swap them.", kind="order"
            )
        found[field] = (float(low), float(high))
    return found


@public(
    gives={
        "answer": _OPTION_GIVES,
        "trade_off": _OPTION_GIVES,
        "film": "dry_film",
        "on_film": "sample_share",
        "fine_enough": "sample_share",
    },
    first=(
        *(f"answer.setting.{field}" for field in Setting._fields),
        "answer.coats",
        "answer.lost",
        "film",
    ),
)
def find_setting(
    dry_film: Scalar,
    panel_width: Scalar,
    panel_height: Scalar,
    limits: Any = None,
    *,
    volume_solids: Scalar,
    kinematic_viscosity: Scalar,
    density: Scalar,
    tip_bore: Scalar,
    worst_texture: Scalar = 2.5e-6,
    worst_evenness: Scalar = 0.05,
    most_wet_film: Scalar = 100e-6,
    most_coats: Scalar = 3,
    film_tolerance: Scalar = 0.05,
    profile: str = "gaussian",
    shape: Scalar | None = None,
    measured: Any = None,
    air_temperature: Scalar = ROOM_TEMPERATURE,
    volatility: Scalar = 1.0,
) -> Found:
    """The setting that reaches a film with the least paint lost, at a texture and evenness no worse than asked.

    dry_film: wanted in all; more than nothing
    limits: {field of a Setting: (lowest, highest)}; usual ones if left out
    volume_solids: 1 % to 99 %; of the paint as sprayed
    kinematic_viscosity: 15 to 150 mm²/s
    shape: of the profile "beta" only
    Gives (...) the answer or none, which limits stop it, in words too; the trade-off – for ever finer texture the
    least loss, then the fastest – with the share of 500 samples in which the answer loses less than each; the film
    the answer lays as a band, the shares of the samples within the tolerance and with a texture no coarser than
    asked; and the coefficients that are assumed.
    An even grid over the limits is tried, the speed solved for each.
    Raises InputError for a wrong unit, an unknown field or a list, RangeError out of those ranges. Holds as
    `spray_setting` does; the choice is made with its coefficients at their middle. Source: derived-here.
    """
    one_of_each(
        dry_film=dry_film,
        panel_width=panel_width,
        panel_height=panel_height,
        volume_solids=volume_solids,
        kinematic_viscosity=kinematic_viscosity,
        density=density,
        tip_bore=tip_bore,
        worst_texture=worst_texture,
        worst_evenness=worst_evenness,
        most_wet_film=most_wet_film,
        most_coats=most_coats,
        film_tolerance=film_tolerance,
        shape=shape,
        air_temperature=air_temperature,
        volatility=volatility,
    )
    in_range("dry_film", dry_film, 1e-6, 5e-3)
    ends = read_limits(limits)
    job = {
        "tip_bore": tip_bore,
        "kinematic_viscosity": kinematic_viscosity,
        "density": density,
        "volume_solids": volume_solids,
        "panel_width": panel_width,
        "panel_height": panel_height,
        "profile": profile,
        "shape": shape,
        "air_temperature": air_temperature,
        "volatility": volatility,
    }
    known = gun_coefficients(measured)
    plain = {name: float(value) for name, value in known.items()}
    tries = _tries(dry_film, int(most_coats), ends, job, plain)
    passed = {
        "film": np.abs(tries.film / dry_film - 1) <= film_tolerance,
        "worst_texture": tries.texture <= worst_texture * (1 + 1e-9),
        "worst_evenness": tries.evenness <= worst_evenness * (1 + 1e-9),
        "most_wet_film": tries.wet <= most_wet_film * (1 + 1e-9),
    }
    good = np.logical_and.reduce(list(passed.values()))
    rows = tries.trade_off(passed["film"] & passed["worst_evenness"] & passed["most_wet_film"])
    assumed = tuple(
        name for name, value in known.items() if isinstance(value, Coefficient) and value.kind == "assumed"
    )
    if not good.any():
        stopped = _stoppers(passed, tries.film, dry_film)
        return Found(None, stopped, _stopped_words(stopped), rows, assumed)
    answer = tries.option(tries.best(good))
    drawn = sampled(measured, _DRAWS)
    mine = _tried(**answer.setting._asdict(), **job, **drawn)
    others = [row._replace(beaten=_beaten(mine, _tried(**row.setting._asdict(), **job, **drawn))) for row in rows]
    laid = mine.dry_film * answer.coats
    near = float(np.mean(np.abs(laid / dry_film - 1) <= film_tolerance))
    spread = Band(*np.percentile(laid, [5, 50, 95]))
    grain = mine.texture * np.sqrt(answer.coats)
    return Found(
        answer,
        (),
        _answer_words(answer, spread),
        tuple(others),
        assumed,
        spread,
        near,
        float(np.mean(grain <= worst_texture)),
    )


class _Tries(NamedTuple):
    """Settings tried with 1, 2, … coats, and what each comes to: arrays (coats, settings)."""

    fields: Mapping[str, np.ndarray]  # of the settings, all but the speed
    speed: np.ndarray
    film: np.ndarray
    lost: np.ndarray
    sprayed: np.ndarray
    time: np.ndarray
    texture: np.ndarray
    evenness: np.ndarray
    wet: np.ndarray

    def option(self, place: Any) -> Option:
        """One of them, by its place in the flattened arrays."""
        at = np.unravel_index(place, self.speed.shape)
        fields = {field: float(values[at[1]]) for field, values in self.fields.items()}
        parts = (self.lost, self.sprayed, self.time, self.texture, self.evenness, self.wet)
        return Option(
            Setting(**fields, gun_speed=float(self.speed[at])), int(at[0]) + 1, *(float(part[at]) for part in parts)
        )

    def best(self, mask: np.ndarray) -> int:
        """Least loss; among losses alike to a hundredth, least time."""
        least = np.min(self.lost[mask])
        return int(np.argmin(np.where(mask & (self.lost <= least * 1.01), self.time, np.inf)))

    def trade_off(self, usable: np.ndarray) -> tuple[Option, ...]:
        """For ever finer texture the least loss, then the fastest."""
        if not usable.any():
            return ()
        ceilings = np.quantile(self.texture[usable], np.linspace(1, 0, 7))
        places = [self.best(usable & (self.texture <= ceiling)) for ceiling in ceilings]
        places.append(int(np.argmin(np.where(usable, self.time, np.inf))))
        return tuple(self.option(place) for place in dict.fromkeys(places))


def _tries(
    dry_film: float,
    most_coats: int,
    ends: Mapping[str, tuple[float, float]],
    job: Mapping[str, Any],
    coefficients: Mapping[str, float],
) -> _Tries:
    """The grid, each setting at the speed that makes the film; film, wet film and texture follow from one speed."""
    fields = _grid(ends)
    at_one = _tried(**fields, gun_speed=1.0, **job, **coefficients)
    coats = np.arange(1, most_coats + 1)[:, None]
    speed = np.clip(at_one.dry_film * coats / dry_film, *ends["gun_speed"])
    film = at_one.dry_film * coats / speed
    lead = least_lead.si(fan_depth.si(fields["gun_distance"], coefficients["spot_depth"]))
    plan = coat_plan.si(job["panel_width"], job["panel_height"], at_one.pitch * (1 + 1e-9), speed, lead)
    sprayed = at_one.fluid_delivery * plan.passes * plan.seconds_per_pass * coats
    return _Tries(
        fields,
        speed,
        film,
        lost=sprayed * (1 - at_one.account.transfer_efficiency),
        sprayed=sprayed,
        time=plan.time * coats,
        texture=at_one.texture * np.sqrt(film / at_one.dry_film),
        evenness=np.broadcast_to(at_one.evenness, speed.shape),
        wet=at_one.wet_film / speed,
    )


def _grid(ends: Mapping[str, tuple[float, float]]) -> dict[str, np.ndarray]:
    """Settings all but their speed, one after the other: an even grid, without those that feed too little to tell."""
    steps = (np.unique(np.linspace(*ends[field], count)) for field, count in _GRID.items())
    grid = np.meshgrid(*steps, indexing="ij")
    tried = {field: values.ravel() for field, values in zip(_GRID, grid, strict=True)}
    feeds = tried["turns"] * tried["trigger"] >= LEAST_TURNS
    if not feeds.any():
        raise InputError(
            "limits",
            "leave the fluid shut: turns times trigger stay below a quarter turn.",
            'Allow more, as "turns": (1, 3).',
            kind="no solution",
        )
    return {field: values[feeds] for field, values in tried.items()}


def _tried(**given: Any) -> SprayResult:
    """`spray_setting`; what it refuses of a setting of the grid, or of what follows from one, lies in the limits."""
    try:
        found: SprayResult = spray_setting.si(**given)
    except InputError as error:
        if error.argument in (*_GRID, *_FOLLOW):
            where = ("limits", *error.problems[0].where)
            raise error.at(
                where=where, remedy="Narrow the limits: they hold a setting that cannot be computed."
            ) from None
        raise
    return found


def _beaten(mine: SprayResult, other: SprayResult) -> float:
    """Share of the samples in which less is lost per gram landed; of two alike, none."""
    ours, theirs = (result.mist_per_landed + result.past_edge_per_landed for result in (mine, other))
    return float(np.mean(ours < theirs * (1 - 1e-9)))


def _stoppers(passed: dict[str, np.ndarray], film: np.ndarray, wanted: Real) -> tuple[str, ...]:
    """The single limits without which something would do; else all that nothing meets, else all together."""
    alone = [
        name
        for name in passed
        if np.logical_and.reduce([mask for other, mask in passed.items() if other != name]).any()
    ]
    names = alone or [name for name, mask in passed.items() if not mask.any()] or list(passed)
    if "film" in names:  # say which end of the limits it is
        side = "too little film" if np.max(film) < wanted else "too much film" if np.min(film) > wanted else "film"
        names[names.index("film")] = side
    return tuple(names)


_STOP_WORDS = {
    "too little film": "the slowest hand and the most fluid lay too little: allow more coats, turns or a slower gun",
    "too much film": "the fastest hand and the least fluid lay too much: allow fewer turns or a faster gun",
    "film": "none that meets the rest reaches the film: allow more speeds, coats or tolerance",
    "worst_texture": "the texture you want is finer than any setting lays: allow more air, less fluid or a coarser "
    "texture",
    "worst_evenness": "no overlap within the limits is as even as asked: allow more overlap, or measure the fan",
    "most_wet_film": "each coat would be wetter than allowed: allow more coats or thinner ones",
}


def _stopped_words(stopped: tuple[str, ...]) -> str:
    return "Nothing within these limits does it: " + "; ".join(_STOP_WORDS[name] for name in stopped) + "."


def _answer_words(answer: Option, film: Band) -> str:
    s = answer.setting
    return (
        f"{answer.coats} coat{'s' * (answer.coats > 1)} at {s.turns:.3g} turns, "
        f"{shown(s.gun_inlet_pressure, 'gun_inlet_pressure')} at the gun, fan {s.fan_opening:.0%} open, "
        f"{shown(s.gun_distance, 'gun_distance')} away, {shown(s.gun_speed, 'gun_speed')}, "
        f"overlap {s.overlap:.0%}, trigger {s.trigger:.0%}: {shown(answer.lost, 'paint_volume')} of "
        f"{shown(answer.sprayed, 'paint_volume')} is lost. As well as the gun is known it lays "
        f"{shown_band(film.low, film.high, 'dry_film')}."
    )
