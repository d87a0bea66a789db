from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job, Stage
from builds.proving.models import Gate
from builds.sheets.models import Document
from builds.sheets.render import render_pdf
from builds.specs.models import SpecVersion
from parts.workshop import audit
from parts.workshop.models import Person, Workshop
from parts.workshop.refusal import Refused

from .aftercare import CareDate
from .contents import care_of, contents_of, data_of


class Pack(models.Model):
    """The hand-over pack: what left with the machine, frozen."""

    WAYS = [("collected", _("collected")), ("delivered", _("delivered")), ("shipped", _("shipped"))]
    job = models.OneToOneField(Job, models.PROTECT, related_name="pack")
    document = models.ForeignKey(Document, models.PROTECT, related_name="+")
    way = models.CharField(_("how it left"), max_length=10, choices=WAYS, default="collected")
    filled = models.BooleanField(_("left filled with coolant"), default=True)
    received_by = models.CharField(_("received by"), max_length=120)
    on = models.DateField(_("handed over on"), default=timezone.localdate)
    with_account = models.BooleanField(_("final account in the pack"), default=True)
    at = models.DateTimeField(default=timezone.now)
    person = models.ForeignKey(Person, models.PROTECT, related_name="+")
    reminders_since = models.DateField(
        _("reminders agreed"), null=True, blank=True, help_text=_("The day the client agreed to be reminded by e-mail.")
    )

    def __str__(self):
        return f"pack of {self.job}"

    @classmethod
    @transaction.atomic
    def hand_over(cls, job, by, *, way, received_by, filled=True, on=None, with_account=True, reminders=False):
        """Let the machine leave: care dates, the frozen pack, the last stage. All of it, or nothing.

        Raises Refused with the list of gates that are neither passed nor waived, and for anything else that is
        missing; field names are those of the form.
        """
        job = Job.objects.select_for_update(of=("self",)).select_related("client", "tray").get(pk=job.pk)
        pack = cls(job=job, way=way, filled=filled, received_by=received_by.strip(), on=on or timezone.localdate(),
                   with_account=with_account, person=by)  # fmt: skip
        pack.reminders_since = pack.on if reminders else None
        pack._must_be_allowed(by)
        job.reach(Stage.HANDED_OVER, by)
        CareDate.objects.bulk_create(
            CareDate(job=job, due=care.due, what=care.what, months=care.months) for care in care_of(pack)
        )
        pack.document = pack.freeze()
        pack.save()
        audit.record(by, "handed over", f"job {job}", after={
            "way": way, "filled": filled, "received_by": pack.received_by, "on": pack.on,
            "document": pack.document.sha256})  # fmt: skip
        return pack

    @transaction.atomic
    def agree_reminders(self, agreed, by):
        """Note that the client wants to be reminded of care dates by e-mail, or no more."""
        if agreed and not self.job.client.email:
            raise Refused(_t("There is no e-mail address of the client to remind at; write it with the client first."))
        before, self.reminders_since = self.reminders_since, timezone.localdate() if agreed else None
        self.save(update_fields=["reminders_since"])
        audit.record(by, "reminders", f"job {self.job}", {"since": before}, {"since": self.reminders_since})

    def _must_be_allowed(self, by):
        if not by.is_owner:
            raise Refused(_t("Only the owner hands a machine over."))
        if not self.job.is_live:
            raise Refused(
                _t("%(job)s is %(stage)s already.") % {"job": self.job, "stage": self.job.get_stage_display()}
            )
        blocking = Gate.objects.blocking(self.job)
        if blocking:
            names = ", ".join(str(kind.label) for kind in blocking)
            raise Refused(_t("It stays here until these are passed or waived: %(gates)s.") % {"gates": names})
        if SpecVersion.objects.current_for(self.job) is None:
            raise Refused(_t("There is no spec to hand over with the machine; write it first."))
        if not self.received_by:
            raise Refused(_t("Type who received the machine."), "received_by")
        if self.on > timezone.localdate():
            raise Refused(_t("Type the day it left, today or earlier; this one is still to come."), "on")
        if self.job.opened_at and self.on < timezone.localdate(self.job.opened_at):
            raise Refused(_t("That day lies before the job was opened; type the day it left."), "on")

    def freeze(self):
        """The pack as a frozen document."""
        contents = contents_of(self, Workshop.current())
        return Document.freeze(
            kind="pack", number=str(self.job), title=contents["title"], data=data_of(contents),
            pdf=render_pdf("sheets/pack.html", contents),
        )  # fmt: skip
