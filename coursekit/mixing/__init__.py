"""Parts and batches, hardener, pot life, VOC and the choice of reducer."""

from coursekit.mixing.batches import (
    batch,
    batch_for_area,
    mix_density,
    mix_mass_share,
    mix_volume_solids,
    parts_by_mass_to_volume,
    parts_by_volume_to_mass,
    shares,
)
from coursekit.mixing.hardener import (
    delivered_hydroxyl_value,
    hydroxyl_equivalent_weight,
    isocyanate_index,
    isocyanate_parts,
    nco_equivalent_weight,
)
from coursekit.mixing.life import pot_life, viscosity_growth

__all__ = [
    "batch", "batch_for_area", "delivered_hydroxyl_value", "hydroxyl_equivalent_weight", "isocyanate_index",
    "isocyanate_parts", "mix_density", "mix_mass_share", "mix_volume_solids", "nco_equivalent_weight",
    "parts_by_mass_to_volume", "parts_by_volume_to_mass", "pot_life", "shares", "viscosity_growth",
]  # fmt: skip
