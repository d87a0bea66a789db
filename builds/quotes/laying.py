"""A draft's lines, laid out from a spec version and the plan: plain rows, no amounts yet."""

from collections import defaultdict
from decimal import Decimal

from django.db.models import Q, Sum
from django.utils.translation import gettext as _

from builds.labour.models import Task
from builds.specs.costs import costs_of
from parts.workshop.money import rounded, shared

from .rules import fitting

NOTHING = (Decimal(0), None)
PART, LABOUR, OTHER = "part", "labour", "other"
HOURS_AS = "EUR"  # hours keep two decimals, as this currency does


def part_rows(spec, currency, rules=()):
    """One row for each line of a spec version, at landed cost; None as cost where no usable price is known.

    rules: the workshop's price rules, as rules.Rule.
    """
    lines = list(spec.lines.select_related("role", "part"))
    costs = costs_of(lines, currency)
    return [_part_row(line, line.quantity, costs, rules) for line in lines]


def handling_rows(spec, charge):
    """One row for each part the client brings, at the workshop's charge for taking it in and fitting it."""
    if not charge:
        return []
    brought = spec.lines.filter(client_supplied=True).select_related("part")
    text = _("Handling of your own: %(part)s")
    return [
        {"kind": OTHER, "role_id": line.role_id, "text": (text % {"part": line.part.name})[:200],
         "quantity": Decimal(1), "unit": "each", "unit_cost": Decimal(0), "unit_price": charge}
        for line in brought
    ]  # fmt: skip


def _part_row(line, quantity, costs, rules=(), cost=None):
    """cost: where it does not come from the costs of today."""
    rule = fitting(rules, line.part.kind, costs.sellers.get(line.part_id)) if rules else None
    cost = costs.unit.get(line.part_id) if cost is None else cost
    ruled = {"rule_basis": rule.basis, "rule_percent": rule.percent, "rule_said": rule.said} if rule else {}
    return ruled | {
        "kind": PART,
        "role_id": line.role_id,
        "part_id": line.part_id,
        "text": line.part.name,
        "remark": line.remark,
        "quantity": quantity,
        "unit": line.part.unit,
        "client_supplied": line.client_supplied,
        "unit_cost": Decimal(0) if line.client_supplied else cost,
    }


def service_rows(rows, under_warranty):
    """Of a machine in service only what is new to it is offered; warranty work at no price, with its cost kept."""
    new = [row for row in rows if not row.get("client_supplied")]
    if not under_warranty:
        return new
    return [row | {"by_hand": True, "unit_price": Decimal(0), "remark": _("warranty, not charged")} for row in new]


def work_rows(job):
    """One row for each kind of work of the job's plan, with its likely hours, rate and cost."""
    kinds = (
        Task.objects.filter(job=job)
        .order_by("work_kind__position", "work_kind__name")
        .values("work_kind", "work_kind__name", "work_kind__rate", "work_kind__cost")
        .annotate(hours=Sum("hours_likely"))
    )
    return [
        {
            "kind": LABOUR,
            "work_kind_id": kind["work_kind"],
            "text": kind["work_kind__name"],
            "quantity": kind["hours"],
            "unit": "h",
            "unit_cost": kind["work_kind__cost"],
            "unit_price": kind["work_kind__rate"],
        }
        for kind in kinds
        if kind["hours"]
    ]


def change_rows(agreed, spec, agreed_terms, currency, rules=()):
    """What a newer spec version adds and takes away: rows with the quantity that changes, taken away negative.

    agreed_terms: {role: (price each the client agreed, its cost)}; what goes is credited at that price, and its landed
    cost (today's, where the agreed line had none) is taken as saved: not bought yet, or on its way back.
    """
    before = {line.role_id: line for line in agreed.lines.select_related("role", "part")}
    after = {line.role_id: line for line in spec.lines.select_related("role", "part")}
    removed, added = [], []
    for role in [*before, *(role for role in after if role not in before)]:
        old, new = before.get(role), after.get(role)
        same = old and new and old.part_id == new.part_id and old.client_supplied == new.client_supplied
        change = new.quantity - old.quantity if same else None
        if old and (not same or change < 0):
            removed.append((old, change if same else -old.quantity))
        if new and (not same or change > 0):
            added.append((new, new.quantity if not same else change))
    costs = costs_of([line for line, _quantity in removed + added], currency)
    rows = []
    for line, quantity in removed:
        price, cost = agreed_terms.get(line.role_id, NOTHING)
        credit = _part_row(line, quantity, costs, cost=cost)
        rows.append(credit | {"unit_price": price, "by_hand": True, "remark": _("comes out again")})
    return rows + [_part_row(line, quantity, costs, rules) for line, quantity in added]


def restock_rows(credits, bought, percent, currency):
    """What suppliers keep of parts that come out again and were bought: one row each, passed on at cost.

    credits: rows of change_rows; those that come out have a negative quantity. bought: {part: how much lies in the
    job's tray or is on its way}. percent: what a supplier keeps of a part's cost.
    """
    bought, rows = dict(bought), []
    for row in credits:
        back = min(-row["quantity"], bought.get(row["part_id"], Decimal(0)))
        lost = rounded((row["unit_cost"] or 0) * percent / 100, currency)
        if back > 0 and lost and not row["client_supplied"]:
            bought[row["part_id"]] -= back
            text = _("Sent back: %(part)s") % {"part": row["text"]}
            rows.append({
                "kind": OTHER, "role_id": row["role_id"], "text": text[:200], "quantity": back, "unit": row["unit"],
                "remark": _("%(percent)s %% of its cost, which the supplier keeps") % {"percent": f"{percent:g}"},
                "unit_cost": lost, "unit_price": lost,
            })  # fmt: skip
    return rows


def rework_rows(reworks):
    """One row for each kind of work that finished tasks are done again in; reworks have task and hours."""
    by_kind = defaultdict(list)
    for rework in reworks:
        if rework.hours:
            by_kind[rework.task.work_kind].append(rework)
    return [
        {
            "kind": LABOUR, "rework": True, "work_kind_id": kind.pk, "quantity": sum(each.hours for each in found),
            "text": _("Undone and done again: %(work)s") % {"work": kind.name}, "unit": "h",
            "remark": ", ".join(each.task.name for each in found)[:200],
            "unit_cost": kind.cost, "unit_price": kind.rate,
        }
        for kind, found in by_kind.items()
    ]  # fmt: skip


def keep_typed(rows, old_lines):
    """Carry over to fresh rows what a person typed on the old lines of the same role and part, or kind of work."""
    old = {_place(line): line for line in old_lines if _place(line)}
    for row in rows:
        names = [row.get(name) for name in ("role_id", "part_id", "work_kind_id")]
        line = old.get((*names, row["quantity"] < 0, row.get("rework", False)))
        if line is None:
            continue
        row["own_margin"] = line.own_margin
        if row["unit_cost"] is None:
            row["unit_cost"] = line.unit_cost
        if line.by_hand:
            row |= {"by_hand": True, "unit_price": line.unit_price, "text": line.text, "remark": line.remark}
            if row["kind"] == LABOUR and not line.rework:
                row |= {"quantity": line.quantity, "cap": line.cap}
    return rows


def _place(line):
    if line.role_id or line.work_kind_id:
        return line.role_id, line.part_id, line.work_kind_id, line.quantity < 0, line.rework
    return None


def fix_quoted_hours(job, hours_by_kind, again):
    """Copy agreed hours onto the job's tasks, each kind of work shared by the tasks' likely hours.

    again: {task id: hours of re-work}, quoted for that very task on top of its share.
    """
    tasks = defaultdict(list)
    for task in Task.objects.filter(Q(work_kind__in=hours_by_kind) | Q(pk__in=again), job=job):
        tasks[task.work_kind_id].append(task)
    for kind, found in tasks.items():
        weights = [max(task.hours_likely - again.get(task.pk, 0), Decimal(0)) for task in found]
        parts = shared(max(hours_by_kind.get(kind, Decimal(0)), Decimal(0)), weights, HOURS_AS)
        for task, hours in zip(found, parts, strict=True):
            task.quoted_hours = hours + again.get(task.pk, 0)
    Task.objects.bulk_update([task for found in tasks.values() for task in found], ["quoted_hours"])
