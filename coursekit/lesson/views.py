"""Every view: with these imported, whatever a cell ends in finds its own."""

from __future__ import annotations

from coursekit.lesson.coat.view import CoatView
from coursekit.lesson.pages.view import GarageView, MeasurementsView, MeasureView, OutfitView, ReadyView
from coursekit.lesson.pins.view import PinView
from coursekit.lesson.plan.view import PlanView
from coursekit.lesson.practice.view import AttemptView, PredictionView, ReviewView, WorkedView
from coursekit.lesson.repair.view import DiagnosisView, HandsView, RepairView
from coursekit.lesson.teaching.view import WallView
from coursekit.lesson.workbench.view import BenchView

__all__ = [
    "AttemptView",
    "BenchView",
    "CoatView",
    "DiagnosisView",
    "GarageView",
    "HandsView",
    "MeasureView",
    "MeasurementsView",
    "OutfitView",
    "PinView",
    "PlanView",
    "PredictionView",
    "ReadyView",
    "RepairView",
    "ReviewView",
    "WallView",
    "WorkedView",
]
