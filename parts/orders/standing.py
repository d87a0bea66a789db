"""How orders stand: what came, what is outstanding, which state follows. Derived by the database, never stored."""

import datetime
from decimal import Decimal

from django.db import models
from django.db.models import Case, Exists, F, Max, OuterRef, Q, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce, Greatest, Round
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.suppliers.models import SupplierPrice

from .arrivals import Arrival, ReturnCase
from .lead_times import MOST


class State(models.TextChoices):
    DRAFTED = "drafted", _("drafted")
    PLACED = "placed", _("placed")
    PART_ARRIVED = "part-arrived", _("part arrived")
    COMPLETE = "complete", _("complete")
    CANCELLED = "cancelled", _("cancelled")


# A supplier who has not confirmed a date by then is asked.
SILENT_AFTER = datetime.timedelta(days=3)
OPEN = (State.PLACED, State.PART_ARRIVED)
QUANTITY = models.DecimalField(max_digits=12, decimal_places=3)
NOTHING = Value(Decimal(0), output_field=QUANTITY)


def _summed(rows, quantity):
    """The sum of `quantity` over related rows of a line, nothing counted as zero."""
    found = rows.order_by().values("line").annotate(sum=Sum(quantity)).values("sum")
    return Coalesce(Subquery(found, output_field=QUANTITY), NOTHING, output_field=QUANTITY)


class LineQuerySet(models.QuerySet):
    def with_arrivals(self):
        """Each line with `good` (came and kept), `faulty` (damaged or wrong), `credited` and `outstanding`.

        Damaged and wrong pieces stay outstanding until good ones come or the supplier credits them. The sums are
        rounded to a thousandth since SQLite adds in floating point.
        """
        arrivals = Arrival.objects.standing().filter(line=OuterRef("pk"))
        credited = arrivals.filter(returns__state__in=ReturnCase.SETTLED)
        return self.annotate(
            good=_summed(arrivals.filter(condition=Arrival.GOOD), "quantity"),
            faulty=_summed(arrivals.filter(condition__in=Arrival.BAD), "quantity"),
            credited=_summed(credited, "quantity"),
        ).annotate(
            outstanding=Round(
                Greatest(F("quantity") - F("good") - F("credited"), NOTHING, output_field=QUANTITY),
                precision=3,
                output_field=QUANTITY,
            )
        )

    def in_their_words(self):
        """Each line with the supplier's `code` for its part and its `carriage_class`, "" where they are not known."""
        prices = SupplierPrice.objects.filter(part=OuterRef("part"), supplier=OuterRef("order__supplier"))
        return self.annotate(
            code=Coalesce(Subquery(prices.values("code")[:1]), Value("")),
            carriage_class=Coalesce(Subquery(prices.values("carriage_class")[:1]), Value("")),
        )

    def weights_of(self, parts):
        """{part id: kg of one} as the last line of each part that was weighed says; one query."""
        newest = self.filter(part__in=parts, weight_kg__isnull=False).order_by().values("part").annotate(last=Max("pk"))
        return dict(self.filter(pk__in=newest.values("last")).values_list("part", "weight_kg"))

    def outstanding_now(self):
        """Lines of placed orders of which something has yet to come."""
        return self.with_arrivals().filter(order__placed_at__isnull=False, order__cancelled_at=None, outstanding__gt=0)

    def silent(self, today=None):
        """Lines to ask the supplier about: days after placing no date is confirmed, or it is past by as many."""
        day = (today or timezone.localdate()) - SILENT_AFTER
        return self.outstanding_now().filter(
            Q(confirmed_at=None, order__placed_at__date__lte=day) | Q(promised__lte=day)
        )

    def days_taken(self, supplier):
        """Days from placing to the last good arrival of each line that came in full, the newest first; one query."""
        came = Max("arrivals__at", filter=Q(arrivals__undone_at=None, arrivals__condition=Arrival.GOOD))
        rows = (
            self.with_arrivals()
            .filter(order__supplier=supplier, order__placed_at__isnull=False, outstanding=0, good__gt=0)
            .annotate(came=came)
            .order_by("-came", "-pk")
            .values_list("order__placed_at", "came")[:MOST]
        )
        return [max((timezone.localdate(came) - timezone.localdate(placed)).days, 0) for placed, came in rows]

    def late(self, today=None):
        return self.outstanding_now().filter(promised__lt=today or timezone.localdate())


class OrderQuerySet(models.QuerySet):
    def with_state(self):
        """Each order with `standing` (a State) and `due` (the first date something outstanding is promised for)."""
        line = self.model._meta.get_field("lines").related_model
        lines = line.objects.filter(order=OuterRef("pk"))
        open_lines = lines.with_arrivals().filter(outstanding__gt=0)
        came = Arrival.objects.standing().exclude(condition=Arrival.SHORT).filter(line__order=OuterRef("pk"))
        return self.annotate(
            standing=Case(
                When(cancelled_at__isnull=False, then=Value(State.CANCELLED.value)),
                When(placed_at=None, then=Value(State.DRAFTED.value)),
                When(~Exists(open_lines), then=Value(State.COMPLETE.value)),
                When(Exists(came), then=Value(State.PART_ARRIVED.value)),
                default=Value(State.PLACED.value),
                output_field=models.CharField(),
            ),
            due=Subquery(
                open_lines.filter(order__placed_at__isnull=False, order__cancelled_at=None, promised__isnull=False)
                .order_by("promised")
                .values("promised")[:1]
            ),
            is_silent=Exists(lines.silent()),
        )

    def late_first(self):
        """Open orders by what is due first, then drafts, then what is over and done, the newest first."""
        rank = Case(
            When(standing__in=OPEN, then=Value(0)), When(standing=State.DRAFTED, then=Value(1)), default=Value(2)
        )
        return self.order_by(rank, F("due").asc(nulls_last=True), "-number")

    def rates(self, suppliers, ours):
        """{supplier id: rate to reckon with}: 1 in our currency, else the one last used for theirs, their usual one,
        or None. One query."""
        newest = self.model.objects.filter(currency__in={supplier.currency for supplier in suppliers} - {ours})
        newest = newest.filter(rate__isnull=False).order_by().values("currency").annotate(newest=Max("number"))
        used = dict(self.model.objects.filter(number__in=newest.values("newest")).values_list("currency", "rate"))
        return {supplier.pk: used.get(supplier.currency) or supplier.rate_in(ours) for supplier in suppliers}

    def matching(self, words):
        """Orders in whose number, reference, supplier or parts, or their supplier's codes, every word is found."""
        found = self
        for word in words.split():
            number = word.upper().removeprefix("O-")
            found = found.filter(
                Q(reference__icontains=word)
                | Q(supplier__name__icontains=word)
                | Exists(
                    self.model._meta.get_field("lines").related_model.objects.filter(
                        order=OuterRef("pk"), part__search__icontains=word.casefold()
                    )
                )
                | Exists(
                    self.model._meta.get_field("lines").related_model.objects.filter(
                        order=OuterRef("pk"),
                        part__prices__code__iexact=word,
                        part__prices__supplier=OuterRef("supplier"),
                    )
                )
                | (Q(number=int(number)) if number.isdecimal() and len(number) < 10 else Q(pk__in=[]))
            )
        return found
