"""Sanding: paper, scratch, removal, sequence, levelling, edges and contours, what shows, what may be polished off."""

from coursekit.sanding.blocks import Block, block_pressure, read_block
from coursekit.sanding.burying import strokes_between, strokes_to_bury
from coursekit.sanding.contours import (
    crown_bearing,
    crown_conformity,
    distance_to_line,
    edge_overhang_pressure,
    flat_width,
    overhang_allowed,
)
from coursekit.sanding.grits import Grade, grain_size, read_grade, same_size
from coursekit.sanding.levelling import (
    backing_compression,
    bending_stiffness,
    bending_wavelength,
    board_factor,
    board_or_block,
    film_to_level,
    gaussian_transmission,
    levelling_factor,
    roughness_cutoff,
    wave_left,
)
from coursekit.sanding.progression import judge_sequence, sequence_cost
from coursekit.sanding.scratches import (
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
from coursekit.sanding.showthrough import (
    dip_left,
    gloss_factor,
    polishing_budget,
    seen_width,
    show_through,
    smooth_limit,
    thinnest_recoat,
    visible_wave,
    wave_verdict,
)
from coursekit.sanding.wear import (
    cone_wear_coefficient,
    machine_removal,
    orbital_speed,
    paper_life,
    removal,
    removed_volume,
    sanding_work,
    strokes_to_remove,
    wear_coefficient_measured,
    wear_rate,
)

__all__ = [
    "Block", "Grade", "backing_compression", "bending_stiffness", "bending_wavelength", "block_pressure",
    "board_factor", "board_or_block", "cone_force", "cone_half_angle", "cone_scratch_depth",
    "cone_wear_coefficient", "crown_bearing", "crown_conformity", "dip_left", "distance_to_line",
    "edge_overhang_pressure", "film_to_level", "flat_width", "gaussian_transmission", "gloss_factor",
    "grain_size", "judge_sequence", "levelling_factor", "machine_removal", "orbital_speed",
    "overhang_allowed", "paper_life", "polishing_budget", "read_block", "read_grade", "removal", "removed_volume",
    "roughness", "roughness_cutoff", "same_size", "sanding_work",
    "scratch", "scratch_depth", "scratch_width", "seen_width",
    "sequence_cost", "show_through", "smooth_limit", "steel_roughness", "strokes_between",
    "strokes_to_bury", "strokes_to_remove", "thinnest_recoat", "usual_roughness", "visible_wave",
    "wave_left", "wave_verdict", "wear_coefficient_measured", "wear_rate",
]  # fmt: skip
