"""The command that searches: tune. Needs no Qt."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from app.studies import cli_words, reports, tuned_words
from solver.errors import DesignProblem
from solver.project import Project

if TYPE_CHECKING:
    from app.background.tuned import Tuned
    from solver.movables import Movable
    from solver.tuning_goal import Wish

Outcome = tuple[str, bool]


def tune(project: Project, parsed: argparse.Namespace, wish: Wish) -> Outcome:
    """Search for a better design; with `--into`, write it as a variant of a project."""
    from app.background.call import Call
    from app.background.jobs import tune
    from solver import files, variants

    movables = _movables(project, parsed)
    call = Call(progress=lambda value: None, cancelled=lambda: False)
    tuned = tune(
        call, project.design, movables, wish, parsed.budget, parsed.copies, project.display
    )
    name = project.variant.name
    note = tuned_words.note(tuned, wish, name, project.display)
    text = _told(project, tuned, wish, parsed.json)
    if parsed.into is not None:
        kept = variants.add(project, tuned.tuning.design, f"{name} tuned", note)
        files.save(kept, parsed.into)
        if not parsed.json:
            text += f"\nWritten to {parsed.into} as variant “{kept.variant.name}”.\n"
    return text, tuned_words.reached(tuned, wish)


def _movables(project: Project, parsed: argparse.Namespace) -> tuple[Movable, ...]:
    design, display = project.design, project.display
    found = (
        *(cli_words.point_box(text, display) for text in parsed.point),
        *(cli_words.spring_number(text, "rate", design, display) for text in parsed.rate),
        *(
            cli_words.spring_number(text, "free_length", design, display)
            for text in parsed.free_length
        ),
        *(cli_words.spring_list(text, design, display) for text in parsed.springs),
        *(cli_words.rest_range(text, design, display) for text in parsed.rest),
    )
    if not found:
        raise DesignProblem(
            "Say what may change with --point, --rate, --free-length, --springs or --rest."
        )
    return found


def _told(project: Project, tuned: Tuned, wish: Wish, as_json: bool) -> str:
    tuning, display = tuned.tuning, project.display
    changes = tuned_words.changed(tuned, display)
    if as_json:
        return reports.dumped(
            {
                "title": project.title,
                "variant": project.variant.name,
                "holds": tuning.holds,
                "share_wanted": wish.share,
                "reached": tuned_words.reached(tuned, wish),
                "conflict": list(tuning.conflict),
                "at_ends_of_ranges": list(tuning.edges),
                "value": tuning.value,
                "evaluations": tuning.evaluations,
                "copies_before": reports.finite(tuned.held_before.share),
                "copies_after": reports.finite(tuned.held_after.share),
                "changes": list(changes),
                "margins": [
                    {
                        "label": each.label,
                        "reading": each.limit.reading,
                        "room": reports.finite(each.room),
                        "holds": each.holds,
                    }
                    for each in tuning.margins
                ],
            }
        )
    lines = [reports.heading(project), "", tuned_words.outcome(tuned, wish)]
    lines += [tuned_words.copies(tuned, wish)]
    wished = tuned_words.wished(wish, tuning.value, tuning.design, display)
    lines += ["", wished] if wished.endswith(":") else [wished, "", "What to change"]
    lines += [f"  {each}" for each in changes] or ["  nothing"]
    if ends := tuned_words.edges(tuned, wish):
        lines += ["", ends]
    lines += ["", "Room to each limit"]
    for each in tuning.margins:
        words = tuned_words.bounded(each, tuning.design, display)
        lines.append(f"  {words:<60} {tuned_words.room(each, tuning.design, display)}")
    return "\n".join(lines) + "\n"
