"""The two examples as projects, for tests that go through all that follows from them."""

from functools import cache
from pathlib import Path

from workshop.plan import Plan, plan
from workshop.project.loading import load_text
from workshop.project.project import Project

FOLDER = Path(__file__).parent.parent / "projects"
EXAMPLES = ("tarn-bench", "gannet-shelf")


@cache
def example(name: str) -> Project:
    """One of the examples as it is shipped."""
    file = FOLDER / f"{name}.toml"
    return load_text(file.read_text(encoding="utf-8"), file.name)


@cache
def example_plan(name: str) -> Plan:
    """What follows from it."""
    return plan(example(name))


@cache
def first_plan(name: str) -> Plan:
    """What can be said of it at once, before what takes long is worked out."""
    return plan(example(name), defer=True)
