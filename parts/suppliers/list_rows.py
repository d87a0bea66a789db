"""What the page of a parts list shows of its rows."""

from parts.kinds import get_kind, show_fact


def rows_shown(draft, reading, only_problems):
    """Indexes of the rows to show, in the file's order; those left out stand among them."""
    return sorted(reading.wrong if only_problems else {line.row for line in reading.lines} | set(draft.left_out))


def as_rows(draft, form, reading, indexes, effects):
    """A dict for each row: the line as read (None when left out), its bare text, its problems with their fields.

    effects: {row: list_effects.Effect}.
    """
    lines = {line.row: line for line in reading.lines}
    return [_as_row(draft, form, lines.get(index), index, effects.get(index)) for index in indexes]


def _as_row(draft, form, line, index, effect):
    kind = get_kind(line.kind) if line and line.kind else None
    facts = [(kind.fact(name), value) for name, value in line.facts.items()] if kind else []
    return {
        "number": index + 1,
        "line": line,
        "effect": effect,
        "kind": kind.label if kind else "",
        "unit": kind.unit if kind else "each",
        "facts": [f"{spec.label} {show_fact(spec, value)}" for spec, value in facts],
        "text": " · ".join(cell for cell in draft.cells[index] if cell),
        "problems": form.problems_of(index),
        "out": form.out_of(index),
    }
