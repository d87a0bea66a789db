"""What stands in one spec version put into another: the next version, or the spec of another job."""

from .loops import Step


def copy_rows(old, new):
    """Copy lines, loops and cables of a version into an empty one, with the same roles; {old line's pk: new line}."""
    lines = {}
    for line in old.lines.all():
        before, line.pk, line.spec = line.pk, None, new
        line._state.adding = True
        line.save()
        lines[before] = line
    for loop in old.loops.prefetch_related("steps", "runs"):
        loop.copy_into(new, lines)
    for cable in old.cables.all():
        cable.copy_into(new)
    return lines


def give_roles(spec, role_of):
    """Let everything in a version point to other roles. role_of(pk): the role that takes the place of one."""
    steps, lines, cables = Step.objects.filter(loop__spec=spec), list(spec.lines.all()), list(spec.cables.all())
    changed = [
        (lines, ["role_id", "fed_from_id", "feeds_id"]), (list(steps), ["cools_id", "fans_id", "screws_id"]),
        (cables, ["supply_id", "device_id"]),
    ]  # fmt: skip
    for rows, names in changed:
        for row in rows:
            for name in names:
                pk = getattr(row, name)
                setattr(row, name, pk and role_of(pk).pk)
        if rows:
            type(rows[0]).objects.bulk_update(rows, [name.removesuffix("_id") for name in names])
