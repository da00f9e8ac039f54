"""Wet film, dry film and how far a can goes."""

from __future__ import annotations

from coursekit.quantities import Real, in_range, public

THINNEST, THICKEST = 1e-7, 5e-3  # m; a film of nothing has no spreading rate


@public(gives="dry_film")
def dry_film(wet_film: Real, volume_solids: Real) -> Real:
    """Dry film that a wet film leaves.

    volume_solids: of the paint as sprayed, thinner counted in
    Gives (...) m.
    Holds when the film shrinks in thickness only. Source: mil-hdbk-1110, §2.1.5.
    """
    return wet_film * volume_solids


@public(gives="wet_film")
def wet_film(dry_film: Real, volume_solids: Real, reduction: Real = 0.0) -> Real:
    """Wet film to lay for a wanted dry film.

    dry_film: film wanted once dry
    volume_solids: of the paint before thinner goes in
    reduction: thinner per paint, by volume: "+10 %" is 0.1
    Gives (...) m.
    Holds when volumes add up and the film shrinks in thickness only. Source: estimating-guide; mil-hdbk-1110, §2.1.5.
    """
    return dry_film * (1 + reduction) / volume_solids


@public(gives="volume_solids")
def thinned_volume_solids(volume_solids: Real, reduction: Real) -> Real:
    """Volume solids once thinner is in.

    volume_solids: of the paint before thinner goes in
    Gives (...) share.
    Holds when volumes add up. Source: estimating-guide.
    """
    return volume_solids / (1 + reduction)


@public(gives="spreading_rate")
def spreading_rate(dry_film: Real, volume_solids: Real = 1.0, transfer_efficiency: Real = 1.0) -> Real:
    """Area that a volume of liquid covers; theoretical as it stands, practical with a transfer efficiency.

    dry_film: 0.1 µm to 5 mm; film wanted once dry
    volume_solids: of the liquid as sprayed
    transfer_efficiency: of the solids sprayed that land; 1 less a loss factor
    Gives (...) m²/m³.
    Holds for an even film. Source: coverage-constant; joseph-film; corrosion-glossary.
    """
    in_range("dry_film", dry_film, THINNEST, THICKEST)
    return volume_solids * transfer_efficiency / dry_film


@public(gives="paint_volume")
def paint_needed(
    area: Real, dry_film: Real, volume_solids: Real, transfer_efficiency: Real, coats: Real = 1.0
) -> Real:
    """Volume of ready-to-spray paint that the coats take, without a reserve.

    dry_film: of each coat
    volume_solids: of the paint as sprayed, thinner counted in
    Gives (...) m³.
    Holds for an even film; cup, hose and strainer keep more. Source: joseph-film; coverage-constant.
    """
    return area * dry_film * coats / (volume_solids * transfer_efficiency)


@public(gives="dry_film")
def film_from_paint(
    paint_volume: Real, area: Real, volume_solids: Real, transfer_efficiency: Real, coats: Real = 1.0
) -> Real:
    """Mean dry film of each coat, from the paint that was sprayed.

    paint_volume: sprayed: mixed less what is left in the cup
    volume_solids: of the paint as sprayed
    coats: that shared the paint evenly
    Gives (...) m.
    Holds as a mean over the area: single places stray. Source: joseph-film; coverage-constant.
    """
    return paint_volume * volume_solids * transfer_efficiency / (area * coats)
