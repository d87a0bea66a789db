"""How an issue is drafted: laid out from spec and plan, changed by hand, discarded."""

from collections import defaultdict
from decimal import Decimal

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.jobs.models import Job
from parts.orders.expected import still_to_come
from parts.shelf.models import Stock
from parts.workshop import audit
from parts.workshop.models import Workshop
from parts.workshop.refusal import Refused

from . import laying
from .rules import PriceRule


def lock(job):
    """Lock a job's row, inside a transaction: whatever changes its quotes waits its turn."""
    return Job.objects.select_for_update().get(pk=job.pk)


def ahead(today, *days):
    """The first of some dates that still lies ahead, or None."""
    return next((day for day in days if day and day >= today), None)


def made_texts(shop):
    """The workshop's own text blocks, as a first draft takes them."""
    return {"included": shop.included_text, "excluded": shop.excluded_text, "terms": shop.terms_text}


def bought_for(job):
    """{part id: how much} lies in a job's tray as ours, or is on its way there."""
    bought = defaultdict(Decimal)
    for (_tray, part, whose), quantity in Stock.objects.by_tray_and_part([job.tray_id]).items():
        if whose == Stock.OURS:
            bought[part] += quantity
    for _tray, part, quantity, _promised, _order in still_to_come([job.tray_id]):
        bought[part] += quantity
    return bought


class Drafting:
    """Mixin of Issue: what can be done while it is a draft."""

    @classmethod
    def begin(cls, quote, spec, last):
        """A draft that goes on from the issue before it, or from the workshop's usual manners."""
        shop = Workshop.current()
        today = timezone.localdate()
        made = cls.objects.create(
            quote=quote,
            spec=spec,
            number=last.number + 1 if last else 1,
            currency=shop.currency,
            margin_percent=last.margin_percent if last else shop.margin_percent,
            **({"restock_percent": last.restock_percent} if last else {}),
            valid_until=today + timezone.timedelta(days=shop.quote_days),
            promise=ahead(today, last and last.promise, quote.job.promise, quote.job.deadline),
            texts=last.typed_texts if last else made_texts(shop),
        )
        if last:
            again = last.reworks.model
            again.objects.bulk_create(again(issue=made, task_id=x.task_id, hours=x.hours) for x in last.reworks.all())
        made.propose_rework(since=last and last.spec)
        if last and last.spec_id == spec.pk:
            made.lines.bulk_create([line.copy_for(made) for line in last.lines.all()])
        else:
            made._put_lines(list(last.lines.all()) if last else [])
        made.stage_payments.bulk_create(made._first_stages(last))
        return made

    def _first_stages(self, last):
        if last:
            return [stage.copy_for(self) for stage in last.stage_payments.all()]
        new = self.stage_payments.model
        if self.is_variation:
            return [new(issue=self, name=_("The change"), basis="rest", due="acceptance")]
        return [
            new(issue=self, position=0, name=_("Deposit: all parts"), basis="parts", due="acceptance"),
            new(issue=self, position=1, name=_("Balance"), basis="rest", due="handover"),
        ]

    def _put_lines(self, old):
        """Lay the lines out from the spec and the plan; keep what a person typed on the old ones."""
        rows = laying.keep_typed(self._fresh_rows(), old)
        free = [line.copy_for(self) for line in old if not line.role_id and not line.work_kind_id]
        if self.is_variation:  # its work is typed, never laid out
            free += [line.copy_for(self) for line in old if line.work_kind_id and not line.rework]
        self.lines.all().delete()
        lines = [self.lines.model(issue=self, **row) for row in rows] + free
        for position, line in enumerate(lines):
            line.position = position
        self.lines.bulk_create(lines)

    def _fresh_rows(self):
        job = self.quote.job
        if not self.is_variation:
            rows = laying.part_rows(self.spec, self.currency, PriceRule.all_plain()) + laying.work_rows(job)
            if not job.serves_id:
                rows += laying.handling_rows(self.spec, Workshop.current().handling_charge)
            return laying.service_rows(rows, job.under_warranty) if job.serves_id else rows
        agreed = self.quote.alters
        agreed_lines = (
            self.lines.model.objects.filter(issue__quote__job=self.quote.job_id, issue__state=self.State.ACCEPTED)
            .filter(kind=laying.PART, quantity__gt=0)
            .order_by("issue__decided_at")
            .values_list("role", "unit_price", "unit_cost")
        )
        terms = {role: (price, cost) for role, price, cost in agreed_lines}
        rows = laying.change_rows(agreed.spec, self.spec, terms, self.currency, PriceRule.all_plain())
        out = [row for row in rows if row["quantity"] < 0]
        lost = laying.restock_rows(out, bought_for(self.quote.job), self.restock_percent, self.currency)
        return rows + laying.rework_rows(self.reworks.select_related("task__work_kind")) + lost

    @transaction.atomic
    def lay_again(self, spec, by):
        """Take over a spec version, the plan's hours and today's costs; what was typed stays."""
        self.hold_draft()
        old, self.spec = self.spec, spec
        before = old.number
        self.save(update_fields=["spec"])
        if old.pk != spec.pk:
            self.propose_rework(since=old)
        self._put_lines(list(self.lines.all()))
        self.touch()
        audit.record(by, "laid out again", f"quote {self}", {"spec": before}, {"spec": spec.number})

    def hold(self):
        """Lock the job and read this issue as it stands now; inside a transaction."""
        job = lock(self.quote.job)
        self.refresh_from_db()
        self.quote.job = job
        return job

    def hold_draft(self):
        job = self.hold()
        if not self.is_draft:
            raise Refused(
                _("%(issue)s is %(state)s and stays as it is; make a new issue to change something.")
                % {"issue": self, "state": self.standing.label}
            )
        return job

    def touch(self):
        """Raise the version: a page that shows the draft as it was before may not send it."""
        type(self).objects.filter(pk=self.pk).update(version=F("version") + 1)

    @transaction.atomic
    def set_terms(self, by, *, valid_until, promise, margin_percent, restock_percent=None, **texts):
        """Change the dates, the usual margin and the texts of a draft."""
        self.hold_draft()
        before = {"valid_until": self.valid_until, "promise": self.promise, "margin_percent": self.margin_percent}
        self.valid_until, self.promise, self.margin_percent = valid_until, promise, margin_percent
        self.texts = self.texts | texts
        self.save(update_fields=["valid_until", "promise", "margin_percent", "texts"])
        if restock_percent is not None and restock_percent != self.restock_percent:
            before["restock_percent"], self.restock_percent = self.restock_percent, restock_percent
            self.save(update_fields=["restock_percent"])
            self._put_lines(list(self.lines.all()))
        after = {name: getattr(self, name) for name in before}
        audit.record(by, "changed terms", f"quote {self}", before, after)

    @transaction.atomic
    def discard(self, by):
        """Throw a draft away; what was sent before stands as it did."""
        self.hold_draft()
        audit.record(by, "discarded", f"quote {self}")
        quote = self.quote
        self.delete()
        if not quote.issues.exists():
            quote.delete()

    @transaction.atomic
    def add_line(self, by, **values):
        """Add a line of one's own: a part, work or something else, with its price typed."""
        self.hold_draft()
        last = self.lines.order_by("-position").first()
        line = self.lines.create(by_hand=True, position=last.position + 1 if last else 0, **values)
        self.touch()
        audit.record(by, "added line", f"quote {self}", after=values)
        return line

    @transaction.atomic
    def add_stage(self, by, **values):
        """Add a stage payment after the others."""
        self.hold_draft()
        last = self.stage_payments.order_by("-position").first()
        stage = self.stage_payments.create(position=last.position + 1 if last else 0, **values)
        self.touch()
        audit.record(by, "added stage payment", f"quote {self}", after=values)
        return stage
