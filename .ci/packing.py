"""Setuptools, told where the list of what else belongs into the source archive lies: not at the top level."""

from setuptools.build_meta import *  # noqa: F403
from setuptools.command.egg_info import manifest_maker

manifest_maker.template = ".ci/MANIFEST.in"
