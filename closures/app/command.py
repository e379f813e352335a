"""The command: which commands there are; the one that is asked for is loaded, and no other.

Heavy packages are imported by the functions that use them, so that ``--help`` costs no more
than the command line library itself.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from closures.errors import typed
from closures.frozen import frozen

NO_DESKTOP = (
    "There is no desktop here on which a browser could open the page. closures serve makes it all the same, and tells "
    "its address."
)

FIRST_THINGS = """
To begin:
  closures new                                  asks a few questions and writes a plan
  closures start                                lists the starting plans
  closures start curved-front my-dress          copies one, to change it
  closures place my-dress/plan.toml             makes the sheets"""

_SETTINGS: dict[str, Any] = {"help_option_names": ["-h", "--help"]}


@frozen
class Command:
    """One command.

    Attributes:
        name: as it is typed.
        module: where its function stands, below `closures.app.commands`.
        function: what it is called there.
        about: the heading of the help that it stands under.
        says: what it does, in a line.
    """

    name: str
    module: str
    function: str
    about: str
    says: str


JOB, BEFORE, LOOK_UP = "The job", "Before and beside it", "To look up and to begin"

COMMANDS = (
    Command("place", "place", "place", JOB, "Place closures; write the marking templates and the report."),
    Command("check", "place", "check", JOB, "Place closures and tell what the rules say, writing nothing."),
    Command("swap", "swap", "swap", JOB, "Other closures in place of those that are there."),
    Command("pull", "pull", "pull", JOB, "Will it gape, will it hold; what to measure, what would help."),
    Command("serve", "serve", "serve", JOB, "Open the page: see a plan, drag it, print it, on this computer alone."),
    Command("edges", "edges", "edges", BEFORE, "List what in a drawing could be an edge."),
    Command("marker-sheet", "edges", "marker_sheet", BEFORE, "Write the sheet of markers that is laid into a photo."),
    Command("trial", "trial", "trial", BEFORE, "Tell how a trial piece came out; your cloth's thickness is narrowed."),
    Command("same", "same", "same", BEFORE, "Tell whether sheets that lie here still are those of a plan."),
    Command("print-check", "print_check", "print_check", BEFORE, "Tell whether a print is true."),
    Command("help", "help", "guide_help", LOOK_UP, "Read the guide, here or in a browser with its pictures."),
    Command("new", "new", "new", LOOK_UP, "Answer a few questions; a plan with notes is written from them."),
    Command("start", "start", "start", LOOK_UP, "List the starting plans, or copy one to change it."),
    Command("fasteners", "start", "fasteners", LOOK_UP, "List the fasteners of the catalogue."),
    Command("cloths", "start", "cloths", LOOK_UP, "List the cloths of the catalogue."),
    Command("shortcut", "start", "shortcut", LOOK_UP, "Put an entry into the system's menu that opens the page."),
)
"""Every command; a further one is a row here and a function in `closures.app.commands`."""


_COMPLETION = ("--install-completion", "--show-completion")


class _Commands(TyperGroup):
    """All commands by name; each is loaded when it is asked for."""

    def list_commands(self, ctx: Any) -> list[str]:
        return [command.name for command in COMMANDS]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        command = next((command for command in COMMANDS if command.name == cmd_name), None)
        return None if command is None else _loaded(command)

    def parse_args(self, ctx: Any, args: list[str]) -> Any:
        if len(args) > 1 and args[0] in _COMPLETION:
            ctx.fail(
                f"{args[0]} takes no name: the shell that it is typed in is the one that learns the commands. "
                f"Type it in {args[1]} itself, without the name"
            )
        return super().parse_args(ctx, args)

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        if args and self.get_command(ctx, args[0]) is None:
            ctx.fail(_not_a_command(args[0]))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        for about in dict.fromkeys(command.about for command in COMMANDS):
            with formatter.section(about):
                formatter.write_dl([(command.name, command.says) for command in COMMANDS if command.about == about])


_LACKING: Any = next(kind for kind in typer.BadParameter.__subclasses__() if kind.__name__ == "MissingParameter")
_SHOWN = {
    "plan": "plan.toml",
    "result": "rattles",
    "across": "48.5",
    "down": "50.2 --of 50",
    "edges file": "front.svg",
    "same file": "marking.pdf",
}
"""What is written for each argument that a command cannot do without, in the example that asks for it."""


class _OneCommand(TyperCommand):
    """A command whose help tells its options by what they are about, and which asks for what it lacks by an example."""

    def parse_args(self, ctx: Any, args: list[str]) -> Any:
        try:
            return super().parse_args(ctx, args)
        except _LACKING as error:
            lacks: Any = error
            if getattr(lacks.param, "param_type_name", "") != "argument":
                raise
            wanted = [one for one in self.get_params(ctx) if one.param_type_name == "argument" and one.required]
            words = [_SHOWN.get(f"{self.name} {one.name}") or _SHOWN[str(one.name)] for one in wanted]
            name = str(lacks.param.name).upper()
            ctx.fail(f"{name} is missing. Write, for example: closures {self.name} {' '.join(words)}")

    def format_options(self, ctx: Any, formatter: Any) -> None:
        groups: dict[str, list[tuple[str, str]]] = {}
        for parameter in self.get_params(ctx):
            told = parameter.get_help_record(ctx)
            if told is not None:
                usual = "Arguments" if parameter.param_type_name == "argument" else "Options"
                groups.setdefault(getattr(parameter, "rich_help_panel", None) or usual, []).append(told)
        for about, told_of_each in groups.items():
            with formatter.section(about):
                formatter.write_dl(told_of_each)


def _commands_function(name: str) -> Any:
    from importlib import import_module

    command = next(command for command in COMMANDS if command.name == name)
    return getattr(import_module(f"closures.app.commands.{command.module}"), command.function)


def _not_a_command(word: str) -> str:
    """What to say of a word that is no command: most often it is a file, or a slip of the finger."""
    from closures.nearest import nearest_name

    ending = word.casefold().rpartition(".")[2] if "." in word else ""
    if ending == "toml":
        return f"'{word}' is a file, not a command. Write: closures place {typed(word)}"
    if ending in ("svg", "pdf", "dxf"):
        return f"'{word}' is a drawing, not a command. What is in it is told by: closures edges {typed(word)}"
    if word.casefold().rstrip("s") == "closure":
        return f"there is no command '{word}': the program is called so. Its commands are told by: closures -h"
    near = nearest_name(word, [command.name for command in COMMANDS])
    return f"there is no command '{word}'. " + (
        f"Did you mean: closures {near}" if near else "All are told by: closures -h"
    )


def _loaded(command: Command) -> Any:
    from typer.main import get_command

    alone = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    alone.command(command.name, cls=_OneCommand, context_settings=_SETTINGS)(_commands_function(command.name))
    return get_command(alone)


app = typer.Typer(
    name="closures",
    help="Place snaps, buttons and hooks along a garment's closing line, and print 1:1 marking templates.",
    cls=_Commands,
    invoke_without_command=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings=_SETTINGS,
)


def _tell_version(asked: bool) -> None:
    if asked:
        from closures import __version__

        typer.echo(f"closures {__version__}")
        raise typer.Exit


@app.callback()
def _closures(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", help="Tell the version.", is_eager=True, callback=_tell_version)
    ] = False,
) -> None:
    if context.invoked_subcommand is not None:
        return
    if has_desktop(sys.platform, os.environ):
        context.invoke(_commands_function("serve"))
        return
    typer.echo(f"{NO_DESKTOP}\n")
    typer.echo(context.get_help())
    typer.echo(FIRST_THINGS)


def has_desktop(platform: str, environment: Mapping[str, str]) -> bool:
    """Whether a browser can be opened for somebody who sits at this computer."""
    if platform in ("win32", "darwin"):
        return True
    return bool(environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"))


# The library keeps the root of its errors in places that change with its versions; this one descends from it.
_USAGE: Any = next(kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException")


_NOBODY_ANSWERS = (
    "The questions were not answered to the end, and nothing was written: run this where you can type the answers. "
    "A plan can also be begun from one of those that closures start lists."
)


def main() -> None:
    """Run the command and end the process."""
    from closures.app.leaving import leave_well

    leave_well(_command)


def _command() -> int:
    """Run the command; the exit code comes out."""
    try:
        return app(standalone_mode=False) or 0
    except _USAGE as error:
        error.show()
        code: int = error.exit_code
        return code
    except typer.Abort as error:
        # What the library makes of Ctrl+C and of an end of typing.
        if isinstance(error.__context__, EOFError):
            typer.echo(f"\n{_NOBODY_ANSWERS}", err=True)
            return 2
        raise KeyboardInterrupt from None
