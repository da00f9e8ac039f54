"""Where the sprayed paint goes: every drop counted once, solids and solvent apart, and what the loss costs."""

import inspect
from typing import Any, NamedTuple

import numpy as np

from coursekit.quantities import InputError, Real, Value, give, public, read_arguments
from coursekit.sources import coefficient
from coursekit.uncertain import Coefficient


class LiquidAccount(NamedTuple):
    """Liquid: mixed = sprayed + what stays behind."""

    mixed: Value
    sprayed: Value
    in_cup: Value
    in_hose: Value
    in_strainer: Value
    in_wash: Value


class SolidsAccount(NamedTuple):
    """Solids by volume of dry film: mixed = all the others."""

    mixed: Value
    landed: Value
    on_masks: Value
    past_edge: Value
    settling: Value
    airborne: Value
    left: Value


class SolventAccount(NamedTuple):
    """Solvent by liquid volume: mixed = all the others."""

    mixed: Value
    in_wet_film: Value
    in_flight: Value
    with_missed: Value
    left: Value


class Shares(NamedTuple):
    """Shares of all solids mixed; they add up to one."""

    landed: Value
    on_masks: Value
    past_edge: Value
    settling: Value
    airborne: Value
    left: Value


class PaintBudget(NamedTuple):
    """The whole account of one batch."""

    paint: LiquidAccount
    solids: SolidsAccount
    solvent: SolventAccount
    shares: Shares
    transfer_efficiency: Value
    liquid_transfer_efficiency: Value
    paint_lost: Value
    solvent_lost: Value
    money_lost: Value | None
    mist: Value
    solvent_to_air: Value


BUDGET_GIVES: dict[str, Any] = {
    "paint": dict.fromkeys(LiquidAccount._fields, "paint_volume"),
    "solids": dict.fromkeys(SolidsAccount._fields, "solids_volume"),
    "solvent": dict.fromkeys(SolventAccount._fields, "solvent_volume"),
    "shares": dict.fromkeys(Shares._fields, "solids_share"),
    "transfer_efficiency": "transfer_efficiency",
    "liquid_transfer_efficiency": "liquid_transfer_efficiency",
    "paint_lost": "paint_volume",
    "solvent_lost": "solvent_volume",
    "money_lost": "money",
    "mist": "lost_mass",
    "solvent_to_air": "lost_mass",
}


@public(gives="liquid_transfer_efficiency")
def liquid_transfer(
    transfer_efficiency: Real, volume_solids: Real, flight_loss: Real = coefficient("flight_loss")
) -> Real:
    """Liquid that arrives as wet film, as a share of the liquid sprayed, from the transfer of the solids.

    volume_solids: of the paint as sprayed
    Gives (...) share by volume.
    Holds when drops that land and drops that miss lose the same share of solvent. Source: derived-here.
    """
    return transfer_efficiency * (volume_solids + (1 - volume_solids) * (1 - flight_loss))


@public(
    gives=BUDGET_GIVES,
    first=(
        "paint.mixed",
        "paint.sprayed",
        "solids.landed",
        "transfer_efficiency",
        "paint_lost",
        "money_lost",
        "mist",
        "solvent_to_air",
    ),
)
def budget(
    mixed_volume: Real,
    volume_solids: Real,
    transfer_efficiency: Real = coefficient("transfer_efficiency"),
    mist_share: Real = coefficient("mist_share"),
    masked_share: Real = coefficient("masked_share"),
    airborne_share: Real = coefficient("airborne_share"),
    flight_loss: Real = coefficient("flight_loss"),
    left_in_cup: Real = coefficient("left_in_cup"),
    left_in_hose: Real = 0.0,
    left_in_strainer: Real = coefficient("left_in_strainer"),
    left_in_wash: Real = coefficient("left_in_wash"),
    volatile_density: Real = coefficient("volatile_density"),
    dry_film_density: Real = coefficient("dry_film_density"),
    price_per_litre: Real | None = None,
) -> PaintBudget:
    """The account of one batch: where every millilitre of solids and of solvent went, each counted once.

    mixed_volume: ready to spray, before the strainer
    volume_solids: of the paint as sprayed
    price_per_litre: of the paint ready to spray; without it no money is counted
    Gives (...) a PaintBudget: paint, solids and solvent by volume, shares of the solids mixed, both transfer
    efficiencies, paint, solvent and money lost, mist in the air and solvent that ends in the air by mass.
    Raises InputError for a wrong unit or when more is left than was mixed, RangeError out of those ranges.
    Holds when volumes add. Source: transfer-definition, transfer-trials, derived-here.
    """
    left = left_in_cup + left_in_hose + left_in_strainer + left_in_wash
    if np.all(np.asarray(left) > np.asarray(mixed_volume) * (1 + 1e-9)):
        raise InputError(
            "mixed_volume",
            "is less than what stays in cup, hose, strainer and wash.",
            "Mix more, or give smaller remainders.",
            kind="order",
        )
    # Among sampled remainders some may exceed a small batch: then all of it stays in the gun.
    kept = np.minimum(1.0, mixed_volume / np.maximum(left, 1e-12))
    paint = LiquidAccount(
        mixed_volume,
        mixed_volume - left * kept,
        left_in_cup * kept,
        left_in_hose * kept,
        left_in_strainer * kept,
        left_in_wash * kept,
    )
    return account(
        paint,
        volume_solids,
        transfer_efficiency,
        mist_share,
        masked_share,
        airborne_share,
        flight_loss,
        flight_loss,
        volatile_density,
        dry_film_density,
        price_per_litre,
    )


def account(
    paint: LiquidAccount,
    volume_solids: Real,
    transfer_efficiency: Real,
    mist_share: Real,
    masked_share: Real,
    airborne_share: Real,
    flight_loss: Real,
    missed_flight_loss: Real,
    volatile_density: Real,
    dry_film_density: Real,
    price_per_litre: Real | None,
) -> PaintBudget:
    """Close the account in SI; drops that land and drops that miss may lose different shares of solvent."""
    solids_sprayed = paint.sprayed * volume_solids
    missed = 1 - transfer_efficiency
    beside, mist = missed * (1 - mist_share), missed * mist_share
    solids = SolidsAccount(
        mixed=paint.mixed * volume_solids,
        landed=solids_sprayed * transfer_efficiency,
        on_masks=solids_sprayed * beside * masked_share,
        past_edge=solids_sprayed * beside * (1 - masked_share),
        settling=solids_sprayed * mist * (1 - airborne_share),
        airborne=solids_sprayed * mist * airborne_share,
        left=(paint.mixed - paint.sprayed) * volume_solids,
    )
    solvent_sprayed = paint.sprayed * (1 - volume_solids)
    solvent = SolventAccount(
        mixed=paint.mixed * (1 - volume_solids),
        in_wet_film=solvent_sprayed * transfer_efficiency * (1 - flight_loss),
        in_flight=solvent_sprayed * (transfer_efficiency * flight_loss + missed * missed_flight_loss),
        with_missed=solvent_sprayed * missed * (1 - missed_flight_loss),
        left=(paint.mixed - paint.sprayed) * (1 - volume_solids),
    )
    shares = Shares(*(getattr(solids, field) / solids.mixed for field in Shares._fields))
    paint_lost = paint.mixed * (1 - shares.landed)
    return PaintBudget(
        paint,
        solids,
        solvent,
        shares,
        transfer_efficiency,
        liquid_transfer.si(transfer_efficiency, volume_solids, flight_loss),
        paint_lost,
        solvent.mixed - solvent.in_wet_film,
        None if price_per_litre is None else paint_lost * 1000 * price_per_litre,
        solids.airborne * dry_film_density,
        solvent_sprayed * volatile_density,
    )


class Lever(NamedTuple):
    """How far one uncertain or chosen number moves the loss, all others held."""

    argument: str
    lost_at_low: Value
    lost_at_high: Value


def what_changes_it(*args: Any, **kwargs: Any) -> tuple[Lever, ...]:
    """The paint lost at both ends of each uncertain number of `budget`, the strongest first.

    Takes the arguments of `budget`. What you give as a certain quantity stays as it is: measure a number and
    it leaves the list. Gives a tuple of Lever. Raises what `budget` raises. Source: derived-here.
    """
    bound = inspect.signature(budget.si).bind(*args, **kwargs)
    uncertain = bound.arguments.copy()
    bound.arguments.update(read_arguments(budget.si, bound.arguments))
    bound.apply_defaults()
    plain = dict(bound.arguments)
    levers = []
    for argument, value in plain.items():
        given = uncertain.get(argument, value)
        if isinstance(given, Coefficient) and given.low < given.high:
            ends = [budget.si(**plain | {argument: end}).paint_lost for end in (given.low, given.high)]
            if not np.allclose(ends[0], ends[1], rtol=1e-12, atol=0):
                levers.append(Lever(argument, *ends))
    levers.sort(key=lambda lever: -float(np.max(np.abs(lever.lost_at_high - lever.lost_at_low))))
    return tuple(Lever(a, give(low, "paint_volume"), give(high, "paint_volume")) for a, low, high in levers)
