"""A repair as data: read, played on the computed panel, judged, compared, varied, and printed for the garage.

from coursekit import repair
played = repair.replay(repair.load("door_repair.toml"))
for entry in played:
    print(entry.step.words, entry.verdict)
print(repair.propose("DAMAGE.toml"))
"""

from coursekit.repair import decisions, judging, timetable
from coursekit.repair.case import Verdict
from coursekit.repair.comparing import Comparison, compare
from coursekit.repair.damage import Damage
from coursekit.repair.diagnosis import Diagnosis, Finding, defects, diagnose
from coursekit.repair.entry import Entry
from coursekit.repair.finding import PlanFinding
from coursekit.repair.outcome import Outcome
from coursekit.repair.plan import plan_checks
from coursekit.repair.playing import Replay, replay
from coursekit.repair.proposal import Proposal, propose
from coursekit.repair.recipe import Recipe, demo_path, load, loads, with_hand, with_measured
from coursekit.repair.repeating import Repeats, Sweep, repeats, sweep
from coursekit.repair.sheet import job_sheet
from coursekit.repair.steps import Step

__all__ = [
    "Comparison",
    "Damage",
    "Diagnosis",
    "Entry",
    "Finding",
    "Outcome",
    "PlanFinding",
    "Proposal",
    "Recipe",
    "Repeats",
    "Replay",
    "Step",
    "Sweep",
    "Verdict",
    "compare",
    "decisions",
    "defects",
    "demo_path",
    "diagnose",
    "job_sheet",
    "judging",
    "load",
    "loads",
    "plan_checks",
    "propose",
    "repeats",
    "replay",
    "sweep",
    "timetable",
    "with_hand",
    "with_measured",
]
