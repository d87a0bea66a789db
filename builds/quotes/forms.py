"""Forms of the quote and money sheets; every change goes through a model method."""

from decimal import Decimal

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils import timezone
from django.utils.translation import gettext as _t
from django.utils.translation import gettext_lazy as _

from builds.labour.foreseen import outlooks
from builds.labour.models import Task
from builds.labour.patterns import HOURS, PlanPattern, WorkKind
from parts.workshop.forms import AmountField, CarefulForm, CarefulModelForm

from .models import IssueLine, StagePayment
from .rules import MARGIN, PriceRule

NOT_BELOW = [MinValueValidator(Decimal(0))]


def price_field(**kwargs):
    """A price each: up to six decimals, eight digits before them."""
    return AmountField(max_digits=14, decimal_places=6, **kwargs)


def hours_or_count(**kwargs):
    return AmountField(max_digits=10, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))], **kwargs)


def margin_field(**kwargs):
    limits = [MinValueValidator(Decimal(-900)), MaxValueValidator(Decimal("95"))]
    return AmountField(max_digits=5, decimal_places=2, validators=limits, **kwargs)


def percent_field():
    return AmountField(
        label=_("or per cent of the other lines"), max_digits=5, decimal_places=2, required=False,
        validators=[MinValueValidator(Decimal(-100)), MaxValueValidator(Decimal(100))],
        help_text=_("Instead of a price; below zero it takes off."),
    )  # fmt: skip


def day_field(**kwargs):
    return forms.DateField(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs)


class SheetForm(CarefulForm):
    """One of several forms on a sheet, with ids of its own; its fields are a model method's arguments."""

    def __init__(self, *args, **kwargs):
        kwargs.setdefault("auto_id", f"{type(self).__name__.lower()}_%s")
        super().__init__(*args, **kwargs)

    @property
    def typed(self):
        return {name: value for name, value in self.cleaned_data.items() if name not in {"once", "version", "by_mail"}}


class DraftForm(SheetForm):
    """Draft a quote; asks for the plan's pattern only where the job has no plan and there are several."""

    pattern = forms.ModelChoiceField(
        PlanPattern.objects.all(), label=_("plan from"), required=False, empty_label=_("no plan yet")
    )

    def __init__(self, *args, job, **kwargs):
        super().__init__(*args, **kwargs)
        patterns = list(PlanPattern.objects.all()[:2])
        if len(patterns) < 2 or job.tasks.exists():
            del self.fields["pattern"]


class LineForm(SheetForm):
    """Change a line: a part's price, cost or margin; the hours and rate of work; all of a free line."""

    quantity = hours_or_count(label=_("quantity"))
    unit_price = price_field(label=_("price each"), required=False, help_text=_("Empty: made from cost and margin."))
    own_margin = margin_field(label=_("its own margin, %"), required=False, help_text=_("Empty: the quote’s margin."))
    percent = percent_field()
    cap = AmountField(
        label=_("an estimate, at most"), max_digits=14, decimal_places=3, required=False, validators=NOT_BELOW,
        help_text=_("Empty: a fixed price. With it the hours worked count, and never come to more."),
    )  # fmt: skip
    unit_cost = price_field(label=_("cost each"), required=False, validators=NOT_BELOW)
    text = forms.CharField(label=_("text"), max_length=200)
    remark = forms.CharField(label=_("remark"), max_length=200, required=False)
    unit = forms.CharField(label=_("unit"), max_length=6)

    def __init__(self, *args, line, **kwargs):
        shown = {name: getattr(line, name) for name in self.base_fields if hasattr(line, name)}
        if line.kind == IssueLine.PART and not line.by_hand:
            shown["unit_price"] = None
        super().__init__(*args, subject=line, initial={k: bare(v) for k, v in shown.items()}, **kwargs)
        self.line = line
        self._fit_to(line)

    def _fit_to(self, line):
        gone = {"unit"} if line.kind == IssueLine.LABOUR else set()
        if line.rework or (line.kind != IssueLine.LABOUR and line.role_id):
            gone |= {"quantity", "unit"}  # the spec, or the tasks undone, say how many
        if line.kind != IssueLine.PART or line.quantity < 0:
            gone.add("own_margin")
            self.fields["unit_price"].required = True
            self.fields["unit_price"].help_text = ""
        if line.kind == IssueLine.LABOUR:
            self.fields["quantity"].label, self.fields["unit_price"].label = _("hours"), _("rate")
            self.fields["unit_cost"].label = _("cost an hour")
        if line.kind != IssueLine.LABOUR or line.quantity < 0:
            gone.add("cap")
        if line.kind != IssueLine.OTHER:
            gone.add("percent")
            self.fields["unit_price"].validators.extend(NOT_BELOW)
        else:
            self.fields["unit_price"].required = False
            if line.percent is not None:
                self.initial["unit_price"] = None
        for name in gone:
            del self.fields[name]
        first_asked(self)

    def clean(self):
        values = super().clean()
        if values.get("unit_price") is not None and values.get("own_margin") is not None:
            self.add_error("own_margin", _t("Type a price or a margin, not both."))
        if "percent" in self.fields:
            price_or_per_cent(self, values)
        cap, hours, rate = (values.get(name) for name in ("cap", "quantity", "unit_price"))
        if cap is not None and rate is not None and cap < (hours or self.line.quantity) * rate:
            self.add_error("cap", _t("The estimate itself comes to more; type at least hours × rate, or lower those."))
        return values

    def change(self):
        return self.line.change(self.person, **self.typed)


def price_or_per_cent(form, values):
    """A line of one's own has a price or a per cent; with the latter the quantity is 1 and the price follows."""
    percent, price = values.get("percent"), values.get("unit_price")
    if percent is not None and price is not None:
        form.add_error("percent", _t("Type a price or a per cent, not both."))
    elif percent is not None:
        values["unit_price"], values["quantity"] = Decimal(0), Decimal(1)
    elif price is None and not {"unit_price", "percent"} & set(form.errors):
        form.add_error("unit_price", _t("Type a price."))


def first_asked(form):
    """Put the cursor where typing begins."""
    form.visible_fields()[0].field.widget.attrs["autofocus"] = True


def bare(value):
    """A decimal without trailing zeros, as a person would type it."""
    return value.normalize().__format__("f") if isinstance(value, Decimal) else value


class NewLineForm(SheetForm):
    """A line of one's own."""

    kind = forms.ChoiceField(label=_("what"), choices=IssueLine.KINDS, initial=IssueLine.OTHER)
    work_kind = forms.ModelChoiceField(
        WorkKind.objects.all(), label=_("kind of work"), required=False, empty_label=_("for work: which kind?")
    )
    text = forms.CharField(label=_("text"), max_length=200, required=False)
    remark = forms.CharField(label=_("remark"), max_length=200, required=False)
    quantity = hours_or_count(label=_("quantity or hours"), initial=1)
    unit_price = price_field(
        label=_("price each or rate"), required=False, help_text=_("Below zero it takes off. Work: empty for its rate.")
    )
    percent = percent_field()
    unit_cost = price_field(label=_("cost each"), required=False, validators=NOT_BELOW)

    def clean(self):
        values = super().clean()
        work = values.get("work_kind") if values.get("kind") == IssueLine.LABOUR else None
        values["work_kind"] = work
        if values.get("kind") == IssueLine.LABOUR:
            if work is None and "work_kind" not in self.errors:
                self.add_error("work_kind", _t("Choose the kind of work."))
            values["unit"] = "h"
        if work:
            values["text"] = values.get("text") or work.name
            values["unit_price"] = work.rate if values.get("unit_price") is None else values["unit_price"]
            values["unit_cost"] = work.cost if values.get("unit_cost") is None else values["unit_cost"]
        if not values.get("text") and "work_kind" not in self.errors:
            self.add_error("text", _t("Type what the line is for."))
        if values.get("percent") is not None and values.get("kind") != IssueLine.OTHER:
            self.add_error("percent", _t("Per cent are for “other”; a part or work has a price."))
        elif not {"work_kind"} & set(self.errors):
            price_or_per_cent(self, values)
        if values.get("kind") != IssueLine.OTHER and (values.get("unit_price") or 0) < 0:
            self.add_error("unit_price", _t("A price is 0 or more; to take something off, choose “other”."))
        return values

    def add_to(self, issue):
        return issue.add_line(self.person, **self.typed)


def _forecast(issue):
    """What the plan gives for a quote's job, or None while the job is not live or has no work."""
    job = issue.quote.job
    told = outlooks([job])[job.pk].forecast if job.is_live else None
    return told if told and told.most else None


class TermsForm(SheetForm):
    """Dates, margin and text blocks of a draft."""

    valid_until = day_field(label=_("valid until"))
    promise = day_field(label=_("promise"), required=False)
    margin_percent = margin_field(label=_("margin on parts, %"), help_text=_("Per cent of the selling price."))
    restock_percent = AmountField(
        label=_("suppliers keep of what goes back, %"), max_digits=5, decimal_places=2,
        validators=[*NOT_BELOW, MaxValueValidator(Decimal(100))], help_text=_("Per cent of its cost."),
    )  # fmt: skip
    included = forms.CharField(label=_("what is included"), required=False, widget=forms.Textarea)
    excluded = forms.CharField(label=_("what is not included"), required=False, widget=forms.Textarea)
    terms = forms.CharField(
        label=_("cancellation, warranty, lead time"),
        required=False,
        widget=forms.Textarea,
        help_text=_("Local consumer law decides; let somebody who knows it read this once."),
    )

    def __init__(self, *args, issue, **kwargs):
        shown = {name: bare(getattr(issue, name)) for name in self.base_fields}
        super().__init__(*args, subject=issue, initial=shown, **kwargs)
        if not issue.is_variation:
            del self.fields["restock_percent"]
            self._suggest_promise(_forecast(issue))

    def _suggest_promise(self, told):
        """Begin from the day the plan keeps four times in five, not before the validity ends; say whence it comes."""
        if told is None:
            return
        promise = self.fields["promise"]
        promise.help_text = _t("By the plan: %(odds)s; %(why)s.") % {"odds": told.odds, "why": told.why}
        if self.subject.promise is None:
            self.initial["promise"] = max(told.most, self.subject.valid_until or told.most)
            promise.help_text += " " + _t("Suggested, not promised yet: saving it promises it.")

    def clean_valid_until(self):
        day = self.cleaned_data["valid_until"]
        if day < timezone.localdate():
            raise forms.ValidationError(_t("That day has passed; type today or later."))
        return day

    def clean_promise(self):
        day = self.cleaned_data["promise"]
        if day and day < timezone.localdate():
            raise forms.ValidationError(_t("That day has passed; type one that lies ahead, or leave it empty."))
        return day

    def change(self):
        return self.subject.set_terms(self.person, **self.typed)


class StageForm(SheetForm):
    """One stage payment, new or changed."""

    name = forms.CharField(label=_("name"), max_length=60)
    basis = forms.ChoiceField(label=_("how much"), choices=StagePayment.BASIS, initial="percent")
    value = AmountField(
        label=_("per cent or amount"), max_digits=12, decimal_places=2, required=False, validators=NOT_BELOW,
        help_text=_("Not needed for all parts or the rest."),
    )  # fmt: skip
    due = forms.ChoiceField(label=_("due"), choices=StagePayment.DUE)

    def __init__(self, *args, stage=None, **kwargs):
        shown = {name: bare(getattr(stage, name)) for name in self.base_fields} if stage else {}
        super().__init__(*args, subject=stage, initial=shown, **kwargs)
        if stage:
            first_asked(self)

    def clean(self):
        values = super().clean()
        basis, value = values.get("basis"), values.get("value")
        if basis in {"percent", "fixed"} and "value" not in self.errors and not value:
            self.add_error("value", _t("Type how much."))
        elif basis == "percent" and value and value > 100:
            self.add_error("value", _t("At most 100 per cent."))
        values["value"] = value or Decimal(0)
        return values

    def put(self, issue):
        if self.subject:
            return self.subject.change(self.person, **self.typed)
        return issue.add_stage(self.person, **self.typed)


class ReworkForm(SheetForm):
    """A finished task that a variation undoes."""

    task = forms.ModelChoiceField(Task.objects.none(), label=_("finished task"), empty_label=_("choose"))
    hours = AmountField(
        label=_("hours to do it again"), max_digits=HOURS["max_digits"], decimal_places=HOURS["decimal_places"],
        validators=NOT_BELOW,
    )  # fmt: skip

    def __init__(self, *args, issue, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["task"].queryset = Task.objects.filter(job=issue.quote.job_id, done_at__isnull=False)


class MailedForm(SheetForm):
    """With a tick that mails the paper made to the client, where an address is known."""

    by_mail = forms.BooleanField(required=False, initial=True)

    def __init__(self, *args, email="", **kwargs):
        super().__init__(*args, **kwargs)
        if email:
            self.fields["by_mail"].label = _("send its PDF by e-mail to %(email)s") % {"email": email}
            self.order_fields([*(name for name in self.fields if name != "by_mail"), "by_mail"])
        else:
            del self.fields["by_mail"]

    @property
    def wants_mail(self):
        """Ticked, and carried out by this sending of the form, not by an earlier one."""
        return bool(self.result and self.cleaned_data.get("by_mail"))


class SendForm(MailedForm):
    """The version says that what is sent is what was looked at."""


class AcceptForm(SheetForm):
    """The client's yes, recorded by the owner."""

    name = forms.CharField(label=_("accepted by"), max_length=120, help_text=_("Name as the client gave it."))
    sure = forms.BooleanField(label=_("The client has read this issue and agrees to it."))


class DeclineForm(SheetForm):
    """The client's no."""

    reason = forms.CharField(label=_("reason"), max_length=200, required=False)


class BillForm(MailedForm):
    due_on = day_field(label=_("to be paid by"))


class PaymentForm(SheetForm):
    amount = AmountField(label=_("amount"), max_digits=14, decimal_places=3)
    received_on = day_field(label=_("received on"), initial=timezone.localdate)
    note = forms.CharField(label=_("note"), max_length=120, required=False)


class GiveBackForm(MailedForm):
    """A credit note over some or all of a bill."""

    amount = AmountField(label=_("amount given back"), max_digits=14, decimal_places=3)
    reason = forms.CharField(label=_("why"), max_length=200, help_text=_("It stands on the credit note."))


class PriceRuleForm(CarefulModelForm):
    """A margin or mark-up by kind of part, by supplier, or by both."""

    percent = AmountField(label=_("per cent"), max_digits=5, decimal_places=2, min_value=0, max_value=900)

    class Meta:
        model = PriceRule
        fields = ["kind", "supplier", "basis", "percent"]
        help_texts = {"kind": _("Empty: every kind."), "supplier": _("Empty: whoever sells it.")}

    def clean(self):
        said = super().clean()
        if said.get("basis") == MARGIN and (said.get("percent") or 0) > 95:
            self.add_error("percent", _t("A margin is per cent of the price: at most 95. For more, choose a mark-up."))
        if not said.get("kind") and not said.get("supplier"):
            self.add_error("kind", _t("Choose a kind of part or a supplier; for all parts there is the usual margin."))
        same = PriceRule.objects.filter(kind=said.get("kind") or "", supplier=said.get("supplier"))
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error("kind", _t("There is a rule for these already; change that one."))
        return said
