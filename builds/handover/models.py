from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Job, Stage
from builds.proving.models import Gate
from builds.sheets.models import Document
from builds.sheets.render import render_pdf
from builds.specs.models import Role, SpecVersion
from parts.workshop import audit
from parts.workshop.models import Person, Workshop
from parts.workshop.refusal import Refused

from .aftercare import CareDate
from .contents import care_of, contents_of, data_of, template_of
from .service import take_away


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
    def hand_over(
        cls,
        job,
        by,
        *,
        way,
        received_by,
        filled=True,
        on=None,
        with_account=True,
        reminders=False,
        owed=(),
        care_done=(),
    ):
        """Let the machine leave: care dates, the frozen pack, the last stage. All of it, or nothing.

        owed: what the client is still to get, in words. care_done: the machine's care dates that a service did; its
        pack is a supplement to the machine's. Raises Refused with the list of gates that are neither passed nor
        waived, and for anything else that is missing; field names are those of the form.
        """  # fmt: skip
        job = Job.objects.select_for_update(of=("self",)).select_related("client", "tray", "serves").get(pk=job.pk)
        pack = cls(job=job, way=way, filled=filled, received_by=received_by.strip(), on=on or timezone.localdate(),
                   with_account=with_account, person=by)  # fmt: skip
        pack.reminders_since = pack.on if reminders else None
        pack._must_be_allowed(by)
        pack.owing = [" ".join(what.split())[:160] for what in owed if what.strip()]
        job.reach(Stage.HANDED_OVER, by)
        if job.serves_id:
            pack._close_service(by, care_done)
        CareDate.objects.bulk_create(
            CareDate(job=pack.machine, due=care.due, what=care.what, months=care.months) for care in care_of(pack)
        )
        pack.document = pack.freeze()
        pack.save()
        Owed.objects.enter(pack, pack.owing)
        audit.record(by, "handed over", f"job {job}", after={
            "way": way, "filled": filled, "received_by": pack.received_by, "on": pack.on,
            "document": pack.document.sha256})  # fmt: skip
        return pack

    @property
    def machine(self):
        """The job of the machine that leaves: of a service, the one it serves."""
        return self.job.serves if self.job.serves_id else self.job

    @property
    def still_owed(self):
        """What the client is still to get, in words."""
        return [str(owed) for owed in self.owed.open()] if self.pk else getattr(self, "owing", [])

    def _close_service(self, by, care_done):
        for care in CareDate.objects.open().filter(job=self.machine, pk__in=[care.pk for care in care_done]):
            care.mark_done(by, self.on, service=self.job)
        take_away(self.job, by)

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
            kind="pack", number=str(self.machine), issue=contents["issue"], title=contents["title"],
            data=data_of(contents), pdf=render_pdf(template_of(self), contents),
        )  # fmt: skip


class OwedQuerySet(models.QuerySet):
    def open(self):
        return self.filter(given_on=None)

    def enter(self, pack, words):
        """Note what is owed at a hand-over; what is called like a role of the job points to it."""
        roles = {role.name.casefold(): role for role in pack.job.roles.all()}
        self.bulk_create(Owed(pack=pack, what=what, role=roles.get(what.casefold())) for what in words)


class Owed(models.Model):
    """Something the client is still to get after the machine left."""

    pack = models.ForeignKey(Pack, models.CASCADE, related_name="owed")
    role = models.ForeignKey(Role, models.SET_NULL, null=True, blank=True, related_name="+")
    what = models.CharField(_("what is owed"), max_length=160)
    given_on = models.DateField(null=True, blank=True)

    objects = OwedQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]

    def __str__(self):
        return self.what

    @transaction.atomic
    def give(self, by):
        """The client has it now; a second time changes nothing."""
        if Owed.objects.filter(pk=self.pk, given_on=None).update(given_on=timezone.localdate()):
            audit.record(by, "gave what was owed", f"job {self.pack.job}", after={"what": self.what})
