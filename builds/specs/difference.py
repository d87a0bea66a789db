"""What changed between two spec versions, role by role."""

from dataclasses import dataclass

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class Change:
    """role: its name; kind: added, removed or changed; was, now: what the line said, empty where there is none."""

    role: str
    kind: str
    was: str = ""
    now: str = ""


def difference(old, new):
    """The Changes from one version's lines to another's; both are lists of SpecLine with role and part."""
    before, after = ({line.role_id: line for line in lines} for lines in (old, new))
    changes = []
    for role in dict.fromkeys([*before, *after]):
        was, now = before.get(role), after.get(role)
        name = (now or was).role.name
        if was is None:
            changes.append(Change(name, "added", now=said(now)))
        elif now is None:
            changes.append(Change(name, "removed", was=said(was)))
        elif said(was) != said(now):
            changes.append(Change(name, "changed", said(was), said(now)))
    return changes


def said(line):
    """A line in words.

    >>> from types import SimpleNamespace as Line
    >>> said(Line(part="tube, 10/13", quantity=2.5, client_supplied=False, remark="clear"))
    '2.5 × tube, 10/13 (clear)'
    """
    words = [line.remark] if line.remark else []
    words += [_("the client supplies it")] if line.client_supplied else []
    return f"{float(line.quantity):g} × {line.part}" + (f" ({'; '.join(words)})" if words else "")


def orders_of(spec):
    """{loop: its order in words} of a version whose steps are fetched."""
    return {loop.name: " → ".join(step.line.role.name for step in loop.steps.all()) for loop in spec.loops.all()}


def loop_changes(old, new):
    """The Changes in the order of loops between two versions fetched with everything."""
    before, after = orders_of(old), orders_of(new)
    return [
        Change(name, "changed" if name in before and name in after else "added" if name in after else "removed",
               before.get(name, ""), after.get(name, ""))
        for name in dict.fromkeys([*before, *after])
        if before.get(name) != after.get(name)
    ]  # fmt: skip
