"""Sanding: paper, scratch, removal, sequence, levelling, edges and contours, what shows, what may be polished off."""

from coursekit.sanding.blocks import Block, block_pressure, read_block
from coursekit.sanding.grits import Grade, grain_size, read_grade, same_size
from coursekit.sanding.progression import judge_sequence, sequence_cost, strokes_to_bury
from coursekit.sanding.removal import (
    cone_wear_coefficient,
    machine_removal,
    orbital_speed,
    removal,
    removed_volume,
    strokes_to_remove,
    wear_coefficient_measured,
    wear_rate,
)
from coursekit.sanding.scratch import (
    cone_force,
    cone_half_angle,
    cone_scratch_depth,
    roughness,
    scratch,
    scratch_depth,
    scratch_width,
    steel_roughness,
    usual_roughness,
)

__all__ = [
    "Block", "Grade", "block_pressure", "cone_force", "cone_half_angle", "cone_scratch_depth",
    "cone_wear_coefficient", "grain_size", "judge_sequence", "machine_removal", "orbital_speed",
    "read_block", "read_grade", "removal", "removed_volume", "roughness", "same_size", "scratch",
    "scratch_depth", "scratch_width", "sequence_cost", "steel_roughness", "strokes_to_bury",
    "strokes_to_remove", "usual_roughness", "wear_coefficient_measured", "wear_rate",
]  # fmt: skip
