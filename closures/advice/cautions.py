"""What to heed in one job, and what is told for those who wear the garment: only what applies, each with its basis."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from closures.advice.facts import Facts, unknown_facts
from closures.advice.tables import rows_of, with_rules
from closures.advice.wording import filled
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.catalogue.values import Provenance


@frozen
class Caution:
    """One thing to heed.

    Attributes:
        key: its name.
        when: conditions; all must hold.
        text: a sentence or several, the figures of rules in place; words in braces come from the job.
        under: whom it is for; empty for everybody.
        provenance: where it comes from.
    """

    key: str
    when: tuple[str, ...]
    text: str
    under: str
    provenance: Provenance

    @property
    def told(self) -> str:
        """The caution with where it comes from."""
        return f"{self.text} ({self.provenance.text})"


def cautions_for(facts: Facts) -> tuple[str, ...]:
    """List what everybody who does this job should heed, in the order of the table."""
    heeded = [one for one in all_cautions() if not one.under and facts.meets(one.when)]
    return tuple(filled(one.told, facts.figures) for one in heeded)


def wearer_notes(facts: Facts) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """List what is told for those who wear it: headings, each with its sentences."""
    groups: dict[str, list[str]] = {}
    for one in all_cautions():
        if one.under and facts.meets(one.when):
            groups.setdefault(f"For {one.under}", []).append(one.told)
    return tuple((heading, tuple(lines)) for heading, lines in groups.items())


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Read the table of cautions.

    Raises:
        CatalogueError: a row is wrong, or names a fact that no job has or a rule that is not there.
    """
    found = []
    for row in rows_of("cautions", "caution"):
        row.check_keys(("key", "when", "text", "under"))
        basis = row.basis()
        one = Caution(
            row.text("key", is_required=True),
            row.texts("when"),
            with_rules(row.text("text", is_required=True)),
            row.text("under"),
            basis,
        )
        for word in unknown_facts(one.when):
            row.fault("when", f"no job has the fact {word!r}", "Write one that is listed with the facts.")
        row.raise_faults()
        found.append(one)
    return tuple(found)
