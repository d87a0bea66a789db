from django import forms
from django.utils.translation import gettext_lazy as _

from builds.jobs.models import Stage
from builds.labour.models import Task
from parts.orders.models import ReturnCase
from parts.shelf.counting import shown
from parts.shelf.forms import StockForm
from parts.shelf.models import Stock
from parts.workshop.forms import AmountField, CarefulForm
from parts.workshop.photos import PhotoField

from . import trouble

OTHERS = [
    (trouble.BUY, _("draft an order for another")),
    (trouble.FREE, _("draft another at no price, they replace it")),
    (trouble.NO_OTHER, _("no other is needed")),
]
OTHERS_OF_CLIENTS = [
    (trouble.VARY, _("draft a variation: one from us in its place")),
    (trouble.NO_OTHER, _("the client brings another, or none is needed")),
]
FOUND = [choice for choice in ReturnCase.FOUND if choice[0] != ReturnCase.GOODS_IN]
LATER = _("decide later")
FOR_LINE = [("", LATER), (trouble.CALL_OFF, _("call it off")), (trouble.SHELVE, _("let it come for the free shelf"))]
FOR_OURS = [
    ("", LATER),
    (trouble.SHELVE, _("to the free shelf")),
    (trouble.RETURN, _("return it to the supplier")),
    (trouble.HAND_OVER, _("hand it over to the client")),
]
FOR_CLIENTS = [("", LATER), (trouble.GIVE_BACK, _("give it back"))]


class BadForm(StockForm):
    """A part in stock turned out bad."""

    quantity = AmountField(label=_("how many"), decimal_places=3, initial=1)
    note = forms.CharField(label=_("what is wrong"), max_length=90, help_text=_("As in “weeps at the upper port”."))
    found = forms.ChoiceField(label=_("found"), choices=FOUND, widget=forms.RadioSelect)
    another = forms.ChoiceField(label=_("another"), choices=OTHERS, initial=trouble.BUY, widget=forms.RadioSelect)

    photo = PhotoField()

    def __init__(self, *args, stock, job, **kwargs):
        super().__init__(*args, stock=stock, **kwargs)
        stages = {Stage.PROVING: ReturnCase.SOAK, Stage.HANDED_OVER: ReturnCase.AFTER}
        self.fields["found"].initial = stages.get(job.stage if job else "", ReturnCase.BENCH)
        if stock.owner == Stock.CLIENTS:
            self.fields["another"].choices = OTHERS_OF_CLIENTS
            self.fields["another"].initial = trouble.VARY
        if job and job.is_live:
            self._offer_rework(job)

    def _offer_rework(self, job):
        direct, later = trouble.rework_of(job, self.stock.part)
        if direct or later:
            tasks = Task.objects.filter(pk__in=[task.pk for task in (*direct, *later)])
            self.fields["again"] = forms.ModelMultipleChoiceField(
                tasks, required=False, widget=forms.CheckboxSelectMultiple, label=_("to be done again"),
                initial=[task.pk for task in direct],
            )  # fmt: skip

    def carry(self):
        data = self.cleaned_data
        return trouble.found_bad(
            self.stock, self.person, quantity=data["quantity"], found=data["found"], note=data["note"],
            another=data["another"], again=data.get("again") or (), units=self.units,
            photo=data["photo"],
        )  # fmt: skip


class SettleForm(CarefulForm):
    """What becomes of each share and each part of a job that ended."""

    def __init__(self, *args, job, left, **kwargs):
        super().__init__(*args, **kwargs)
        self.job, self.keys = job, {}
        for line, quantity in left.lines:
            said = {"n": shown(quantity), "part": line.part.name, "order": line.order}
            self._ask("line", line.pk, _("%(n)s × %(part)s, still to come on %(order)s") % said, FOR_LINE)
        for stock in left.stock:
            ours = stock.owner == Stock.OURS
            said = {"n": shown(stock.quantity), "part": stock.part.name, "place": stock.place}
            if ours:
                self._ask("stock", stock.pk, _("%(n)s × %(part)s, at %(place)s") % said, FOR_OURS)
            else:
                label = _("%(n)s × %(part)s, the client's own, at %(place)s") % said
                self._ask("stock", stock.pk, label, FOR_CLIENTS)

    def _ask(self, kind, pk, label, choices):
        self.keys[f"{kind}-{pk}"] = kind, pk
        self.fields[f"{kind}-{pk}"] = forms.ChoiceField(label=label, choices=choices, required=False)

    def carry(self):
        chosen = {key: self.cleaned_data.get(name) for name, key in self.keys.items()}
        return trouble.settle(self.job, {key: what for key, what in chosen.items() if what}, self.person)
