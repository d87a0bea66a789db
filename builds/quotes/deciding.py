"""How an issue is sent and decided: checks, freezing, acceptance, refusal."""

from django.db import IntegrityError, transaction
from django.db.models import Sum
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.jobs.models import Stage
from parts.workshop import audit
from parts.workshop.refusal import Refused

from . import laying
from .heat import heat_sentences
from .rework import hours_again


class Deciding:
    """Mixin of Issue: sending, accepting, declining."""

    def obstacles(self, figures):
        """What stands in the way of sending a draft, as sentences that say what to do; empty when it may go."""
        from builds.specs.sanity import open_stops

        found = [*self._line_obstacles(figures), *self._date_obstacles()]
        if not (job := self.quote.job).is_live:
            said = {"job": job, "stage": job.get_stage_display()}
            found.append(_("%(job)s is %(stage)s: nothing more can be agreed on it.") % said)
        if figures.trouble:
            found.append(figures.trouble)
        if self.is_variation:
            found += self._variation_obstacles()
        elif figures.totals.total < 0:
            found.append(_("The total is below zero; a quote asks for money."))
        found += [
            _("Stop: %(sentence)s %(action)s Mend it in the spec, or waive it with a reason on the checks sheet.")
            % {"sentence": stop.sentence, "action": stop.action}
            for stop in open_stops(self.spec)
        ]
        return found

    def _line_obstacles(self, figures):
        if not figures.lines:
            yield _("There is no line; lay out the spec, or add one.")
        if figures.without_price:
            roles = ", ".join(line.place or line.text for line in figures.without_price)
            yield _("Price missing: %(roles)s. Type a price or a cost on the line.") % {"roles": roles}
        if self.differs_from_spec(figures.lines):
            yield _("The spec has changed since this draft was laid out; take the changes over first.")

    def differs_from_spec(self, lines):
        """Whether its part lines are no longer those of its spec version."""
        if self.is_variation:
            agreed = {(x.role_id, x.part_id, x.client_supplied): x.quantity for x in self.quote.alters.spec.lines.all()}
        elif self.quote.job.serves_id:  # what is in a machine in service is not offered again
            here = self.spec.lines.filter(client_supplied=True)
            agreed = {(x.role_id, x.part_id, x.client_supplied): x.quantity for x in here}
        else:
            agreed = {}
        wanted = {(x.role_id, x.part_id, x.client_supplied): x.quantity for x in self.spec.lines.all()}
        offered = dict(agreed)
        for line in lines:
            if line.role_id and line.kind == laying.PART:
                key = (line.role_id, line.part_id, line.client_supplied)
                offered[key] = offered.get(key, 0) + line.quantity
        return {k: q for k, q in offered.items() if q} != wanted

    def _date_obstacles(self):
        today = timezone.localdate()
        if self.valid_until is None or self.valid_until < today:
            yield _("Type a date until which it is valid: today or later.")
        if self.promise and self.promise < today:
            yield _("The promised date has passed; type one that lies ahead.")
        elif self.promise and self.valid_until and self.promise < self.valid_until:
            yield _("The promise lies before the quote's validity ends; promise later, or let it lapse sooner.")

    def _variation_obstacles(self):
        last = type(self).objects.agreed_for(self.quote.job)
        if last is None or last.pk != self.quote.alters_id:
            yield _("Something else was agreed since; discard this and raise it again from a new spec version.")

    @transaction.atomic
    def send(self, by):
        """Freeze the draft: store its figures, freeze its spec version, make its PDF; earlier issues step back.

        Refused with every reason while anything stands in the way.
        """
        from . import paper

        job = self.hold_draft()
        figures = self.figures()
        if found := self.obstacles(figures):
            raise Refused(" ".join(found))
        now = timezone.now()
        self._store(figures)
        self.state, self.sent_at = self.State.SENT, now
        self.document = paper.freeze(self, figures)
        self.save()
        self.quote.issues.filter(state=self.State.SENT).exclude(pk=self.pk).update(
            state=self.State.SUPERSEDED, decided_at=now
        )
        self.spec.freeze(by)
        if not self.is_variation:
            job.reach(Stage.QUOTED, by)
        audit.record(by, "sent", f"quote {self}", after={"total": self.total, "sha256": self.document.sha256})

    def _store(self, figures):
        totals = figures.totals
        self.net, self.tax, self.total = totals.net, totals.tax, totals.total
        self.texts = self.texts | {
            "tax_note": figures.tax_note, "heat": heat_sentences(self.spec), "effects": self.effects(),
        }  # fmt: skip
        for rows, names in (
            (figures.lines, ["unit_price", "tax_category", "tax_percent", "amount"]),
            (figures.stages, ["amount"]),
        ):
            if rows:
                type(rows[0]).objects.bulk_update(rows, names)

    @transaction.atomic
    def accept(self, by, name, address=None):
        """Agree on it in a client's name: spec version, price and promise are fixed, the job is agreed.

        by: the person recording it, None for the client himself, who comes from a network address. Refused, with
        nothing moved, when it is no longer open: of many at once exactly one acceptance stands.
        """
        name = name.strip()
        if not name:
            raise Refused(_("Type the name of who accepts."), "name")
        job = self.hold()
        self._refuse_unless_open()
        now = timezone.now()
        self._decide(self.State.ACCEPTED, now, name, address)
        self.spec.agreed_at = now
        self.spec.save(update_fields=["agreed_at"])
        before = {"promise": job.promise}
        if self.promise:
            job.promise = self.promise
            job.save(update_fields=["promise"])
        job.reach(Stage.AGREED, by)
        if self.is_variation:
            self._lay_plan_again(job, by)
        self._fix_hours(job)
        self._set_others_aside(job, now)
        after = {"name": name, "from": address, "spec": self.spec.number, "total": self.total, "promise": job.promise}
        audit.record(by, "accepted", f"quote {self}", before, after)

    def _decide(self, state, now, name, address=None):
        self.state, self.decided_at, self.decided_by, self.decided_from = state, now, name, address
        try:
            with transaction.atomic():
                self.save(update_fields=["state", "decided_at", "decided_by", "decided_from", "reason"])
        except IntegrityError:
            raise Refused(_("Another issue of this quote was accepted already; nothing was changed.")) from None

    def _refuse_unless_open(self):
        standing = self.standing
        if standing == self.State.SENT:
            return
        said = {
            self.State.DRAFTED: _("%(issue)s was not sent yet; send it first."),
            self.State.ACCEPTED: _("%(issue)s was accepted on %(day)s by %(name)s already; nothing was changed."),
            self.State.DECLINED: _("%(issue)s was declined on %(day)s; make a new issue."),
            self.State.LAPSED: _("%(issue)s was valid until %(until)s and has lapsed; make a new issue."),
            self.State.SUPERSEDED: _("%(issue)s was replaced by a later one; that one counts."),
        }[standing]
        day = date_format(timezone.localtime(self.decided_at)) if self.decided_at else ""
        until = date_format(self.valid_until) if self.valid_until else ""
        raise Refused(said % {"issue": self, "day": day, "name": self.decided_by, "until": until})

    def _fix_hours(self, job):
        """Quoted hours of all that is agreed on the job go onto its tasks."""
        agreed = self.lines.model.objects.filter(
            issue__quote__job=job, issue__state=self.State.ACCEPTED, kind=laying.LABOUR, work_kind__isnull=False,
            rework=False,
        )  # fmt: skip
        totals = agreed.order_by().values_list("work_kind").annotate(Sum("quantity"))
        laying.fix_quoted_hours(job, dict(totals), hours_again(job, self.State.ACCEPTED))

    def _set_others_aside(self, job, now):
        """Whatever else waits for an answer no longer fits what is agreed now."""
        pending = type(self).objects.filter(quote__job=job, state=self.State.SENT).exclude(pk=self.pk)
        pending.update(state=self.State.SUPERSEDED, decided_at=now)

    @transaction.atomic
    def decline(self, by, reason="", name="", address=None):
        """Record that the client said no; nothing else moves."""
        self.hold()
        self._refuse_unless_open()
        self.reason = reason[:200]
        self._decide(self.State.DECLINED, timezone.now(), name, address)
        audit.record(by, "declined", f"quote {self}", after={"reason": self.reason, "from": address})
