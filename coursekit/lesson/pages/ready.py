"""What is wrong with the set-up, if anything, in plain words, each with the one command that mends it."""

from __future__ import annotations

import importlib.metadata
import os
import re
import sys
import tempfile
from typing import NamedTuple

from coursekit import keeping, measured
from coursekit.folder import check_settings, folder
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.screen import page
from coursekit.quantities import InputError

LEAST_PYTHON = (3, 11)


class Fault(NamedTuple):
    """One thing that is wrong, and what mends it: a command to type, or a sentence to follow."""

    problem: str
    remedy: str


def report() -> tuple[str, str]:
    """How the set-up is, as HTML and as plain text."""
    found, notices = faults()
    if not found:
        notices.append(f"All is well: the lessons can run. What you answer and measure is kept in {folder()}.")
    markup = page.together(
        page.paragraph(
            page.together((fault.problem, page.tag("br"), "To fix it: ", page.tag("code", fault.remedy))), "ck-error"
        )
        for fault in found
    )
    lines = [f"{fault.problem} To fix it: {fault.remedy}" for fault in found]
    return markup + page.together(map(page.paragraph, notices)), "\n".join(lines + notices)


def faults() -> tuple[list[Fault], list[str]]:
    """What disturbs a lesson, and what is well again but should be known."""
    found, notices = _own_data()
    return [*_python(), *_packages(), *found], notices


def pip(*words: str) -> str:
    """A command that installs into the environment of this kernel, whichever is active in the terminal."""
    quote = '"' if " " in sys.executable else ""
    return " ".join([f"{quote}{sys.executable}{quote}", "-m", "pip", "install", *words])


def _python() -> list[Fault]:
    if sys.version_info >= LEAST_PYTHON:
        return []
    version = ".".join(map(str, sys.version_info[:2]))
    return [
        Fault(
            f"This kernel runs Python {version}; the course needs 3.11 or newer.",
            "Install a newer Python and make the environment again as the README says.",
        )
    ]


def _packages() -> list[Fault]:
    """Run-time packages that are missing or of a version the course was not tried with."""
    try:
        wanted = importlib.metadata.requires("coursekit") or []
    except importlib.metadata.PackageNotFoundError:
        return [Fault("coursekit itself is not installed in this environment.", pip("."))]
    bad, named = [], []
    for requirement in wanted:
        text, _, marker = (part.strip() for part in requirement.partition(";"))
        if "extra" not in marker and (problem := _misfit(text)):
            bad.append(problem)
            named.append(f'"{text}"')
    return [Fault(f"Packages of this kernel do not fit: {'; '.join(bad)}.", pip(*named))] if bad else []


def _misfit(requirement: str) -> str:
    """What is wrong with one requirement such as "numpy<3,>=1.26"; empty when nothing is."""
    match = re.match(r"[A-Za-z0-9_.-]+", requirement)
    assert match is not None, requirement
    try:
        found = importlib.metadata.version(match[0])
    except importlib.metadata.PackageNotFoundError:
        return f"{match[0]} is missing"
    limits = re.findall(r"(>=|<=|==|<|>)\s*([0-9.]+)", requirement)
    fits = all(_holds(_numbers(found), sign, _numbers(limit)) for sign, limit in limits)
    return "" if fits else f"{match[0]} is {found}, wanted {requirement[match.end() :].strip()}"


def _holds(have: tuple[int, ...], sign: str, want: tuple[int, ...]) -> bool:
    return {">=": have >= want, "<=": have <= want, "==": have == want, "<": have < want, ">": have > want}[sign]


def _numbers(version: str) -> tuple[int, ...]:
    return tuple(int(part) for part in re.findall(r"\d+", version)[:3])


def _own_data() -> tuple[list[Fault], list[str]]:
    """Whether the learner's folder can be written, and what is in it read."""
    try:
        with keeping.lock(folder()):
            handle, test = tempfile.mkstemp(dir=folder(), prefix=keeping.BESIDE, suffix=keeping.NEW)
            os.close(handle)
            os.unlink(test)
    except (OSError, InputError) as error:
        return [
            Fault(
                f"Your own folder cannot be written ({error}): nothing you do would be kept.",
                'export COURSEKIT_HOME="$HOME/coursekit" (then start Jupyter again)',
            )
        ], []
    found: list[Fault] = []
    progress = Progress()
    for work in (progress.events, measured.load, check_settings):
        try:
            work()
        except InputError as error:
            found.append(Fault(f"{error.argument}: {error.problem}", error.remedy))
    return found, [*([progress.message] if progress.message else []), *keeping.stories()]
