"""A new plan from a few questions."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from closures.app.commands.answering import answering, leave, say
from closures.errors import ClosureError, typed

if TYPE_CHECKING:
    from closures.edges.listing import Listing

_LONGEST_ANSWER = 400
"""What is longer is refused by every key; so many signs are told apart at once however they are meant."""


def new(
    plan: Annotated[Path, typer.Argument(metavar="[PLAN]", help="The plan file to write.")] = Path("plan.toml"),
) -> None:
    """Ask a few questions, write a plan with notes from the answers, and tell what it comes to.

    Nothing is written before the last answer; Ctrl+C leaves without a trace.
    """
    from closures import files
    from closures.app.asking import Asking
    from closures.app.questions import plan_asked_for

    plan = plan if plan.suffix else plan.with_name(f"{plan.name}.toml")
    with answering():
        from closures.catalogue.loading import load_catalogue
        from closures.errors import OutputError

        if plan.exists():
            raise OutputError(
                "there is a file already", where=str(plan), mend="Name another: closures new my-dress.toml"
            )
        catalogue = load_catalogue()
    # Outside of any bound of time: people think before they answer.
    asking = Asking(
        ask=lambda question: str(typer.prompt(question, default="", show_default=False))[:_LONGEST_ANSWER],
        tell=typer.echo,
        catalogue=catalogue,
        drawing=lambda name: _lines_of(plan.parent / name),
        trial=lambda text: _tried(text, plan),
        repaired=lambda text: _repaired(text, plan),
    )
    text = plan_asked_for(asking)
    with answering():
        files.write_edited(plan, text, None)
    typer.echo(f"\nWritten: {plan}\n")
    with answering():
        from closures.app.job import check_plan, load_plan

        answer = check_plan(load_plan(plan), plan)
    say(answer, as_json=False)
    if answer.swap is not None:
        typer.echo(f"\nAll offers: closures swap {typed(plan)}")
    typer.echo(f"\nNext: closures place {typed(plan)}")
    leave(answer)


def _lines_of(drawing: Path) -> Listing:
    from closures import files
    from closures.app.bounds import bounded
    from closures.app.listing import edges_of

    with bounded():
        return edges_of(files.read_drawing(drawing), drawing.name)


def _tried(text: str, plan: Path) -> None:
    from closures.app.bounds import bounded
    from closures.app.job import check_plan
    from closures.app.known_names import names_known
    from closures.plan.reading import read_plan

    with bounded():
        check_plan(read_plan(text.encode(), plan.name, names_known(plan)), plan)


def _repaired(text: str, plan: Path) -> dict[str, str]:
    from closures.app.bounds import bounded
    from closures.app.repairing import repairs

    try:
        with bounded():
            return {"; ".join(one.words): one.text for one in repairs(text, plan.name, plan)}
    except ClosureError:
        return {}  # something else than its row is wrong, and was told
