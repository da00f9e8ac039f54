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
from coursekit.mixing.reducer import reducer_for
from coursekit.mixing.volatile import largest_thinner, voc, voc_check, voc_of_mix, voc_of_stages, voc_per_solids

__all__ = [
    "batch",
    "batch_for_area",
    "delivered_hydroxyl_value",
    "hydroxyl_equivalent_weight",
    "isocyanate_index",
    "isocyanate_parts",
    "largest_thinner",
    "mix_density",
    "mix_mass_share",
    "mix_volume_solids",
    "nco_equivalent_weight",
    "parts_by_mass_to_volume",
    "parts_by_volume_to_mass",
    "pot_life",
    "reducer_for",
    "shares",
    "viscosity_growth",
    "voc",
    "voc_check",
    "voc_of_mix",
    "voc_of_stages",
    "voc_per_solids",
]
