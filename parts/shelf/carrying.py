"""The one place where stock changes: steps from somewhere to somewhere, together or not at all."""

from dataclasses import dataclass, replace
from decimal import Decimal

from django.db import models, transaction
from django.utils.translation import gettext as _

from parts.catalogue.models import Part
from parts.workshop import audit
from parts.workshop.refusal import Refused

from .counting import counted, shown
from .valuing import tray_costs


@dataclass(frozen=True)
class Spot:
    """Where stock lies: the rest of a stock row's key beside its part."""

    tray_id: int
    place_id: int
    owner: str


@dataclass(frozen=True)
class Step:
    """One move to make. No source: it comes in; no target: it goes out.

    cost: what all of it cost, in the workshop's currency, where that is known by itself (see valuing).
    """

    part: Part
    quantity: Decimal
    reason: str
    source: Spot | None = None
    target: Spot | None = None
    cost: Decimal | None = None


class StockQuerySet(models.QuerySet):
    def lying(self):
        """Rows that hold something."""
        return self.filter(quantity__gt=0)

    def free(self):
        """Ours, on the free shelf: what any job may take."""
        return self.lying().filter(tray__is_free_shelf=True, owner="ours")

    def matching(self, words):
        """Rows whose part, tray or place holds every word."""
        found = self
        for word in words.split():
            found = found.filter(
                models.Q(part__search__icontains=word.casefold())
                | models.Q(tray__name__icontains=word)
                | models.Q(place__name__icontains=word)
            )
        return found

    def by_tray_and_part(self, trays):
        """{(tray id, part id, owner): quantity} of some trays, in one query."""
        rows = self.lying().filter(tray__in=trays).values_list("tray_id", "part_id", "owner", "quantity")
        held = {}
        for tray, part, owner, quantity in rows:
            held[tray, part, owner] = held.get((tray, part, owner), Decimal(0)) + quantity
        return held

    def costs_of(self, trays, ours):
        """{tray id: valuing.TrayCost} of our own parts in some trays, in the workshop's currency `ours`; two queries.

        Reckoned from every move of the parts that were ever there, so a charge that comes late reaches them all.
        """
        moves = self.model._meta.get_field("moves_out").related_model.objects
        parts = self.model.objects.filter(tray__in=trays, owner=self.model.OURS).values("part")
        spots = dict(self.model.objects.filter(part__in=parts, owner=self.model.OURS).values_list("pk", "tray"))
        rows = moves.filter(part__in=parts).order_by("pk")
        return tray_costs(rows.values_list("source", "target", "quantity", "cost"), spots, trays, ours)

    @transaction.atomic
    def carry(self, steps, by):
        """Make every step or none; the Moves in the order of the steps.

        All stock of a part is changed by one transaction at a time: the part's row is its lock, and parts are
        locked in the order of their keys, so two carriers never wait for each other in a ring. Raises Refused
        where a source holds too little.
        """
        steps = [_checked(step) for step in steps]
        if not steps:
            return []
        parts = sorted({step.part.pk for step in steps})
        list(Part.objects.select_for_update(no_key=True).filter(pk__in=parts).order_by("pk").values_list("pk"))
        rows = self._rows_for(steps)
        before = {key: row.quantity for key, row in rows.items()}
        for step in steps:
            _apply(step, rows)
        self.bulk_update([row for key, row in rows.items() if row.quantity != before[key]], ["quantity"])
        return self._recorded(steps, rows, before, by)

    def _rows_for(self, steps):
        """The stock rows the steps touch, by key; missing targets are made, empty."""
        spots = {(step.part.pk, spot) for step in steps for spot in (step.source, step.target) if spot}
        near = self.model.objects.filter(
            part__in={part for part, _spot in spots}, tray__in={spot.tray_id for _part, spot in spots}
        )
        rows = {row.key: row for row in near.select_related("tray", "place")}
        missing = sorted(
            {(step.part.pk, step.target) for step in steps if step.target and (step.part.pk, step.target) not in rows},
            key=str,
        )
        new = [
            self.model(part_id=part, tray_id=spot.tray_id, place_id=spot.place_id, owner=spot.owner)
            for part, spot in missing
        ]
        rows |= {row.key: row for row in self.model.objects.bulk_create(new)}
        return {key: row for key, row in rows.items() if key in spots}

    def _recorded(self, steps, rows, before, by):
        moves = []
        move_model = self.model._meta.get_field("moves_out").related_model
        for step in steps:
            source, target = (rows.get((step.part.pk, spot)) if spot else None for spot in (step.source, step.target))
            moves.append(
                move_model(
                    part=step.part,
                    source=source,
                    target=target,
                    quantity=step.quantity,
                    reason=step.reason[:120],
                    cost=step.cost,
                    person=by if getattr(by, "pk", None) else None,
                )
            )
        move_model.objects.bulk_create(moves)
        for (part_id, spot), row in rows.items():
            if row.quantity != before[part_id, spot]:
                reasons = ", ".join(dict.fromkeys(step.reason for step in steps if step.part.pk == part_id))
                audit.record(
                    by, "counted", f"stock {row.pk}", {"quantity": before[part_id, spot]},
                    {"quantity": row.quantity, "part": part_id, "tray": spot.tray_id, "reason": reasons},
                )  # fmt: skip
        return moves


def _checked(step):
    if not step.reason.strip():
        raise Refused(_("Say in a few words why the count changes."), "reason")
    if step.source == step.target:
        raise Refused(_("It lies there already; choose another tray or place."), "tray")
    return replace(step, quantity=counted(step.quantity, step.part.unit), reason=step.reason.strip())


def _apply(step, rows):
    """Move the quantity between the two rows in memory; Refused before a source would fall below zero."""
    if step.source:
        source = rows.get((step.part.pk, step.source))
        held = source.quantity if source else Decimal(0)
        if not held:
            raise Refused(_("No %(part)s lies there any more; somebody moved it.") % {"part": step.part}, "quantity")
        if held < step.quantity:
            raise Refused(
                _("Only %(held)s of %(part)s lie there now; type %(held)s or less.")
                % {"held": shown(held), "part": step.part},
                "quantity",
            )
        source.quantity -= step.quantity
    if step.target:
        rows[step.part.pk, step.target].quantity += step.quantity
