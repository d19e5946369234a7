"""What every command has: the options that stand before or after it, and how it refuses in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, Final, TypeVar

import click

if TYPE_CHECKING:
    from workshop.project.faults import FileFault
    from workshop.settings import Settings

Command = TypeVar("Command", bound=Callable[..., Any])

REFUSED: Final = 2
"""The exit status of a command that could not be understood, or a file that cannot be read."""

YEARS: Final = range(1900, 2200)
"""Years that `--at` takes."""


class Refused(click.ClickException):
    """What was asked cannot be done; the message is a sentence, or one for each fault."""

    exit_code = REFUSED

    def show(self, file: IO[Any] | None = None) -> None:
        """Write the sentences to standard error."""
        click.echo(self.format_message(), file=file, err=file is None)


@contextmanager
def refusing() -> Iterator[None]:
    """Turns what a file or an answer is wrong with into one line each, and exit status 2."""
    from workshop.project.faults import FileFault, FileFaults

    try:
        yield
    except FileFault as fault:
        raise Refused(one_line(str(fault))) from fault
    except FileFaults as faults:
        raise Refused("\n".join(one_line(str(fault)) for fault in faults.faults)) from faults


def one_line(text: str) -> str:
    """A sentence fit for one line of a terminal, which nothing in it can steer."""
    return "".join(sign if sign.isprintable() else " " for sign in " ".join(text.split()))


def instead(name: str, known: list[str]) -> str:
    """`did you mean lifts?`, or all that may be written."""
    import difflib

    close = difflib.get_close_matches(name, known, 1)
    return f"did you mean {close[0]}?" if close else f"choose one of {', '.join(known)}."


# Options of every command


class MomentType(click.ParamType[datetime]):
    """ISO 8601, the offset left out or not."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """The time, without a zone where none was written."""
        if isinstance(value, datetime):
            return value
        try:
            at = datetime.fromisoformat(str(value).strip())
        except ValueError:
            raise Refused(
                f"--at: {value!r} is not a time; write one such as 2026-03-09T19:45, "
                "or with its offset 2026-03-09T19:45+01:00."
            ) from None
        if at.year not in YEARS:
            raise Refused(
                f"--at: the year {at.year} is none that a shop works in; "
                f"write one from {YEARS.start} to {YEARS.stop - 1}."
            )
        return at


def _defaults() -> Settings:
    from workshop.settings import DEFAULTS

    return DEFAULTS


@dataclass(frozen=True)
class Options:
    """What `--projects` and `--at` say, and what the settings file says where they are silent."""

    projects: Path | None = None
    at: datetime | None = None
    settings: Settings = field(default_factory=_defaults)

    @property
    def folder(self) -> Path:
        """The projects folder."""
        from workshop.project.folder import projects_folder

        return projects_folder(self.projects, settled=self.settings.projects)

    def file(self, name: str) -> Path:
        """The project file that was named."""
        from workshop.project.folder import located

        return located(name, self.folder)

    def moment(self, zone: str | None = None) -> datetime | None:
        """What `--at` says in UTC, in this zone where it has no offset; None where it was not given."""
        if self.at is None:
            return None
        if self.at.tzinfo is None and zone is not None:
            from zoneinfo import ZoneInfo

            return self.at.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
        return self.at.astimezone(UTC)

    def now(self, zone: str | None = None) -> datetime:
        """What `--at` says, else the time."""
        from workshop.clock import Clock

        return Clock(at=self.moment(zone)).now()


def _settled(context: click.Context, parameter: click.Parameter, value: Any) -> Any:
    """Keep an option where every command finds it, whether it stood before or after the command."""
    if value is not None:
        context.find_root().meta[f"workshop.{parameter.name}"] = value
    return value


def given_options() -> Options:
    """What the options say, wherever on the line they stood, and the settings file, which must be sound."""
    with refusing():
        return _with(settings_in_force())


def forgiving_options() -> tuple[Options, tuple[FileFault, ...]]:
    """The same with the defaults in place of a settings file that is not sound, and what is wrong with it."""
    from workshop.project.faults import FileFaults
    from workshop.settings import DEFAULTS

    try:
        return _with(settings_in_force()), ()
    except FileFaults as faults:
        return _with(DEFAULTS), faults.faults


def settings_in_force() -> Settings:
    """The settings file as it was when the command first asked; raises FileFaults."""
    from workshop.settings import read_settings, settings_path

    meta = click.get_current_context().find_root().meta
    if "workshop.settings" not in meta:
        meta["workshop.settings"] = read_settings(settings_path())
    held: Settings = meta["workshop.settings"]
    return held


def _with(settings: Settings) -> Options:
    meta = click.get_current_context().find_root().meta
    return Options(meta.get("workshop.projects"), meta.get("workshop.at"), settings)


def everywhere(command: Command) -> Command:
    """The options that stand before or after every command."""
    for option in (
        click.option(
            "--at",
            type=MomentType(),
            metavar="TIME",
            callback=_settled,
            expose_value=False,
            help="Work as if it were this time (ISO 8601; in the shop's zone without an offset).",
        ),
        click.option(
            "--projects",
            type=click.Path(path_type=Path),
            metavar="DIR",
            callback=_settled,
            expose_value=False,
            help="The folder where projects live.",
        ),
    ):
        command = option(command)
    return command
